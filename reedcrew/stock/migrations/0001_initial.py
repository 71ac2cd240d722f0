import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="StockLine",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "item",
                    models.CharField(
                        choices=[
                            ("chest waders", "chest waders"),
                            ("boots", "boots"),
                            ("life jacket", "life jacket"),
                            ("gloves", "gloves"),
                            ("eye protection", "eye protection"),
                            ("hand sickle", "hand sickle"),
                            ("cane cutter", "cane cutter"),
                            ("spade", "spade"),
                            ("sharpening stone", "sharpening stone"),
                            ("throw line", "throw line"),
                            ("whistle", "whistle"),
                            ("sled", "sled"),
                            ("twine", "twine"),
                            ("bag", "bag"),
                            ("first-aid kit", "first-aid kit"),
                            ("drinking water", "drinking water"),
                            ("sunscreen", "sunscreen"),
                            ("bleach", "bleach"),
                            ("cleaning water", "cleaning water"),
                            ("brush", "brush"),
                            ("sprayer", "sprayer"),
                            ("shade", "shade"),
                            ("sign-in sheet", "sign-in sheet"),
                        ],
                        max_length=20,
                        verbose_name="item",
                    ),
                ),
                ("size", models.CharField(blank=True, max_length=12, verbose_name="size")),
                (
                    "note",
                    models.CharField(
                        blank=True,
                        help_text="For example where it is kept or who lent it.",
                        max_length=160,
                        verbose_name="note",
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="stock_lines", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "stock line",
                "verbose_name_plural": "stock lines",
                "ordering": ["item", "size", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Movement",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("received", "received"),
                            ("lost", "lost"),
                            ("retired", "worn out or damaged"),
                            ("recounted", "recounted"),
                        ],
                        max_length=10,
                        verbose_name="what happened",
                    ),
                ),
                ("change", models.IntegerField(verbose_name="change")),
                ("note", models.CharField(blank=True, max_length=160, verbose_name="note")),
                ("made_at", models.DateTimeField()),
                ("submission", models.UUIDField(editable=False, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="movements", to="stock.stockline"
                    ),
                ),
            ],
            options={
                "verbose_name": "movement",
                "verbose_name_plural": "movements",
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.AddConstraint(
            model_name="stockline",
            constraint=models.UniqueConstraint(
                fields=("group", "item", "size"),
                name="stock_line_once",
                violation_error_message="This item and size are in the stock already: record a movement instead.",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(("change", 0), _negated=True), name="stock_movement_moves"
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.UniqueConstraint(fields=("line", "submission"), name="stock_movement_once"),
        ),
    ]
