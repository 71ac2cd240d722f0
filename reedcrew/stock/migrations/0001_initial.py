import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.stock.models.gear


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("people", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="Entry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("note", models.CharField(blank=True, max_length=160, verbose_name="note")),
                ("submission", models.UUIDField(editable=False, null=True)),
                ("said", models.JSONField(blank=True, default=dict, editable=False)),
                ("made_at", models.DateTimeField()),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="stock_entries", to="people.group"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "entry of the stock",
                "verbose_name_plural": "entries of the stock",
                "ordering": ["-pk"],
                "constraints": [models.UniqueConstraint(fields=("group", "submission"), name="stock_entry_once")],
            },
        ),
        migrations.CreateModel(
            name="Loan",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "direction",
                    models.CharField(
                        choices=[("borrowed", "we borrow"), ("lent", "we lend")], max_length=8, verbose_name="who lends"
                    ),
                ),
                ("party", models.CharField(max_length=80, verbose_name="the other group")),
                ("due_on", models.DateField(verbose_name="to be returned on")),
                ("made_at", models.DateTimeField()),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="gear_loans", to="people.group"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "loan",
                "verbose_name_plural": "loans",
                "ordering": ["due_on", "pk"],
            },
        ),
        migrations.CreateModel(
            name="GearSet",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.PositiveIntegerField(verbose_name="number")),
                (
                    "code",
                    models.CharField(
                        default=reedcrew.stock.models.gear.new_set_code,
                        editable=False,
                        max_length=8,
                        verbose_name="code",
                    ),
                ),
                (
                    "shelf",
                    models.CharField(
                        blank=True, help_text="Crate, shelf or room.", max_length=80, verbose_name="where it is kept"
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=160, verbose_name="note")),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="gear_sets", to="people.group"
                    ),
                ),
                (
                    "loan",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sets",
                        to="stock.loan",
                    ),
                ),
            ],
            options={
                "verbose_name": "set",
                "verbose_name_plural": "sets",
                "ordering": ["number"],
                "constraints": [
                    models.UniqueConstraint(fields=("group", "number"), name="stock_set_number_once"),
                    models.UniqueConstraint(fields=("group", "code"), name="stock_set_code_once"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Occasion",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("key", models.PositiveBigIntegerField()),
                ("site", models.PositiveBigIntegerField()),
                ("title", models.CharField(max_length=80)),
                ("address", models.CharField(max_length=200)),
                ("date", models.DateField()),
                ("starts_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="gear_occasions", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "occasion",
                "verbose_name_plural": "occasions",
                "ordering": ["starts_at", "pk"],
                "constraints": [models.UniqueConstraint(fields=("group", "key"), name="stock_occasion_once")],
            },
        ),
        migrations.CreateModel(
            name="Booking",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("made_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "ended_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="gear_bookings", to="people.member"
                    ),
                ),
                (
                    "gear_set",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="bookings", to="stock.gearset"
                    ),
                ),
                (
                    "occasion",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="bookings", to="stock.occasion"
                    ),
                ),
            ],
            options={
                "verbose_name": "booking",
                "verbose_name_plural": "bookings",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at", None)),
                        fields=("occasion", "gear_set"),
                        name="stock_booked_once_a_day",
                    )
                ],
            },
        ),
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
                        blank=True, help_text="For example where it is kept.", max_length=160, verbose_name="note"
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
                "constraints": [
                    models.UniqueConstraint(
                        fields=("group", "item", "size"),
                        name="stock_line_once",
                        violation_error_message="This item and size are in the stock already: record a movement instead.",
                    )
                ],
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
                            ("borrowed", "borrowed"),
                            ("labelled", "given a label"),
                            ("issued", "handed out"),
                            ("returned", "returned"),
                            ("damaged", "found damaged"),
                            ("repaired", "repaired"),
                            ("cleaned", "cleaned"),
                            ("dried", "dried"),
                            ("lent", "lent to others"),
                            ("came back", "came back from others"),
                            ("given back", "given back"),
                            ("used up", "used up"),
                            ("lost", "lost"),
                            ("found", "found again"),
                            ("retired", "worn out, retired"),
                            ("recounted", "recounted"),
                        ],
                        max_length=10,
                        verbose_name="what happened",
                    ),
                ),
                ("number", models.PositiveIntegerField(verbose_name="how many")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("outside", "not with the group"),
                            ("shelf", "in stock"),
                            ("issued", "handed out"),
                            ("used", "back, to clean and dry"),
                            ("aired", "dry, not cleaned"),
                            ("washed", "cleaned, to dry"),
                            ("repair", "needs repair"),
                            ("lent", "lent to others"),
                            ("lost", "lost"),
                            ("retired", "retired"),
                        ],
                        max_length=7,
                        verbose_name="from",
                    ),
                ),
                (
                    "target",
                    models.CharField(
                        choices=[
                            ("outside", "not with the group"),
                            ("shelf", "in stock"),
                            ("issued", "handed out"),
                            ("used", "back, to clean and dry"),
                            ("aired", "dry, not cleaned"),
                            ("washed", "cleaned, to dry"),
                            ("repair", "needs repair"),
                            ("lent", "lent to others"),
                            ("lost", "lost"),
                            ("retired", "retired"),
                        ],
                        max_length=7,
                        verbose_name="to",
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="movements", to="stock.entry"
                    ),
                ),
                (
                    "gear_set",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="stock.gearset",
                    ),
                ),
                (
                    "loan",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="stock.loan",
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="gear_movements",
                        to="people.member",
                    ),
                ),
                (
                    "occasion",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="stock.occasion",
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
                "ordering": ["-pk"],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("number__gte", 1)), name="stock_movement_moves"),
                    models.CheckConstraint(
                        condition=models.Q(("source", models.F("target")), _negated=True),
                        name="stock_movement_leads_elsewhere",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("gear_set", None), ("number", 1), _connector="OR"),
                        name="stock_movement_of_one_set",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "received"), ("source", "outside"), ("target", "shelf")),
                            models.Q(("kind", "borrowed"), ("source", "outside"), ("target", "shelf")),
                            models.Q(("kind", "labelled"), ("source", "shelf"), ("target", "outside")),
                            models.Q(("kind", "labelled"), ("source", "outside"), ("target", "shelf")),
                            models.Q(("kind", "issued"), ("source", "shelf"), ("target", "issued")),
                            models.Q(("kind", "issued"), ("source", "aired"), ("target", "issued")),
                            models.Q(("kind", "returned"), ("source", "issued"), ("target", "used")),
                            models.Q(("kind", "damaged"), ("source", "issued"), ("target", "repair")),
                            models.Q(("kind", "damaged"), ("source", "shelf"), ("target", "repair")),
                            models.Q(("kind", "damaged"), ("source", "used"), ("target", "repair")),
                            models.Q(("kind", "damaged"), ("source", "aired"), ("target", "repair")),
                            models.Q(("kind", "damaged"), ("source", "washed"), ("target", "repair")),
                            models.Q(("kind", "repaired"), ("source", "repair"), ("target", "used")),
                            models.Q(("kind", "cleaned"), ("source", "used"), ("target", "washed")),
                            models.Q(("kind", "cleaned"), ("source", "aired"), ("target", "washed")),
                            models.Q(("kind", "dried"), ("source", "washed"), ("target", "shelf")),
                            models.Q(("kind", "dried"), ("source", "used"), ("target", "aired")),
                            models.Q(("kind", "lent"), ("source", "shelf"), ("target", "lent")),
                            models.Q(("kind", "came back"), ("source", "lent"), ("target", "used")),
                            models.Q(("kind", "given back"), ("source", "shelf"), ("target", "outside")),
                            models.Q(("kind", "given back"), ("source", "used"), ("target", "outside")),
                            models.Q(("kind", "given back"), ("source", "aired"), ("target", "outside")),
                            models.Q(("kind", "given back"), ("source", "washed"), ("target", "outside")),
                            models.Q(("kind", "given back"), ("source", "repair"), ("target", "outside")),
                            models.Q(("kind", "used up"), ("source", "shelf"), ("target", "outside")),
                            models.Q(("kind", "lost"), ("source", "issued"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "lent"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "shelf"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "used"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "aired"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "washed"), ("target", "lost")),
                            models.Q(("kind", "lost"), ("source", "repair"), ("target", "lost")),
                            models.Q(("kind", "found"), ("source", "lost"), ("target", "used")),
                            models.Q(("kind", "retired"), ("source", "shelf"), ("target", "retired")),
                            models.Q(("kind", "retired"), ("source", "used"), ("target", "retired")),
                            models.Q(("kind", "retired"), ("source", "aired"), ("target", "retired")),
                            models.Q(("kind", "retired"), ("source", "washed"), ("target", "retired")),
                            models.Q(("kind", "retired"), ("source", "repair"), ("target", "retired")),
                            models.Q(("kind", "recounted"), ("source", "shelf"), ("target", "outside")),
                            models.Q(("kind", "recounted"), ("source", "outside"), ("target", "shelf")),
                            _connector="OR",
                        ),
                        name="stock_movement_by_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "issued"), _negated=True),
                            models.Q(("member__isnull", False), ("occasion__isnull", False)),
                            _connector="OR",
                        ),
                        name="stock_issued_to_somebody",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["borrowed", "given back", "lent", "came back"]), _negated=True),
                            ("loan__isnull", False),
                            _connector="OR",
                        ),
                        name="stock_loan_is_named",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="gearset",
            name="line",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="sets", to="stock.stockline"
            ),
        ),
    ]
