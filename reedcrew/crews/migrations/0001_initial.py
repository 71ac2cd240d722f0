import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("people", "__first__"),
        ("stands", "0001_initial"),
        ("workdays", "0001_initial"),
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
                ("told", models.BooleanField(default=False)),
                ("accepted_at", models.DateTimeField(blank=True, null=True)),
                (
                    "accepted_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
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
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("current", True)), fields=("day",), name="crews_plan_one_current"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("told", True)), fields=("day",), name="crews_plan_one_told"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("told", False),
                            models.Q(("accepted_at__isnull", False), ("accepted_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="crews_plan_told_by_somebody",
                    ),
                ],
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
                ("remedies", models.JSONField(blank=True, default=list)),
                ("fallen", models.JSONField(blank=True, default=list)),
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
                "constraints": [
                    models.UniqueConstraint(fields=("plan", "sign_up"), name="crews_assignment_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "unit"), _negated=True),
                            models.Q(("unit_number__isnull", False), ("zone__isnull", False)),
                            _connector="OR",
                        ),
                        name="crews_unit_has_number_and_zone",
                    ),
                ],
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
        migrations.CreateModel(
            name="PlanPin",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("pair", "work in one unit"),
                            ("not pair", "never work in one unit"),
                            ("zone", "works in this zone"),
                            ("not zone", "stays out of this zone"),
                            ("not water", "stays out of the water"),
                            ("role", "has this role on shore"),
                            ("not role", "does not have this role"),
                        ],
                        max_length=9,
                        verbose_name="what to pin",
                    ),
                ),
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
                        verbose_name="role",
                    ),
                ),
                ("made_at", models.DateTimeField()),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="pins", to="workdays.workday"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="people.member",
                        verbose_name="person",
                    ),
                ),
                (
                    "other",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="people.member",
                        verbose_name="other person",
                    ),
                ),
                (
                    "zone",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="stands.zone",
                        verbose_name="zone",
                    ),
                ),
            ],
            options={
                "verbose_name": "pin",
                "verbose_name_plural": "pins",
                "ordering": ["made_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("other", None), ("kind__in", ["not pair", "pair"]), _connector="XOR"),
                        name="crews_pin_other_by_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["not zone", "zone", "role"]), ("zone__isnull", False)),
                            models.Q(("zone", None), models.Q(("kind__in", ["not zone", "zone"]), _negated=True)),
                            _connector="OR",
                        ),
                        name="crews_pin_zone_by_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("role", ""), ("kind__in", ["not role", "role"]), _connector="XOR"),
                        name="crews_pin_role_by_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("other", None), models.Q(("member", models.F("other")), _negated=True), _connector="OR"
                        ),
                        name="crews_pin_of_another",
                    ),
                ],
            },
        ),
    ]
