import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("stands", "0001_initial"),
        ("workdays", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Plan",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("current", models.BooleanField(default=True)),
                ("made_at", models.DateTimeField()),
                ("status", models.CharField(max_length=16)),
                ("answer", models.JSONField()),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="plans", to="workdays.workday"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "plan",
                "verbose_name_plural": "plans",
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Assignment",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[("unit", "in a unit"), ("shore", "on shore"), ("not placed", "not placed")],
                        max_length=10,
                    ),
                ),
                ("unit_number", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "role",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("spotter", "spotter"),
                            ("first-aider", "first-aider"),
                            ("sign-in desk", "sign-in desk"),
                            ("hauler", "hauler"),
                            ("spade crew", "spade crew"),
                        ],
                        max_length=12,
                    ),
                ),
                ("gear", models.JSONField(blank=True, default=list)),
                ("reasons", models.JSONField(blank=True, default=list)),
                (
                    "sign_up",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="assignments", to="workdays.signup"
                    ),
                ),
                (
                    "zone",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="stands.zone",
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="assignments", to="crews.plan"
                    ),
                ),
            ],
            options={
                "verbose_name": "assignment",
                "verbose_name_plural": "assignments",
                "ordering": ["kind", "unit_number", "pk"],
            },
        ),
        migrations.CreateModel(
            name="PlanDue",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("since", models.DateTimeField()),
                (
                    "day",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="plan_due", to="workdays.workday"
                    ),
                ),
            ],
            options={
                "verbose_name": "plan that is due",
                "verbose_name_plural": "plans that are due",
                "ordering": ["since", "pk"],
            },
        ),
        migrations.AddConstraint(
            model_name="plan",
            constraint=models.UniqueConstraint(
                condition=models.Q(("current", True)), fields=("day",), name="crews_plan_one_current"
            ),
        ),
        migrations.AddConstraint(
            model_name="assignment",
            constraint=models.UniqueConstraint(fields=("plan", "sign_up"), name="crews_assignment_once"),
        ),
        migrations.AddConstraint(
            model_name="assignment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind", "unit"), _negated=True),
                    models.Q(("unit_number__isnull", False), ("zone__isnull", False)),
                    _connector="OR",
                ),
                name="crews_unit_has_number_and_zone",
            ),
        ),
    ]
