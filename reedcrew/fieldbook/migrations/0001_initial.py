import uuid

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("stands", "0001_initial"),
        ("workdays", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Attendance",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("signed_in_at", models.DateTimeField(verbose_name="signed in at")),
                ("signed_out_at", models.DateTimeField(blank=True, null=True, verbose_name="signed out at")),
                ("in_water", models.BooleanField(default=False, verbose_name="worked in water")),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)s_entries",
                        to="workdays.workday",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="attendances", to="people.member"
                    ),
                ),
                (
                    "signed_out_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "struck_by",
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
                "verbose_name": "attendance",
                "verbose_name_plural": "attendances",
                "ordering": ["signed_in_at", "id"],
                "abstract": False,
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("signed_out_at", None), ("struck_at", None)),
                        fields=("day", "member"),
                        name="fieldbook_signed_in_once",
                        violation_error_message="This person is signed in already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("signed_out_at", None), ("signed_out_at__gte", models.F("signed_in_at")), _connector="OR"
                        ),
                        name="fieldbook_out_after_in",
                        violation_error_message="Nobody can sign out before they signed in.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Load",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                (
                    "kind",
                    models.CharField(
                        choices=[("pile", "pile on dry ground"), ("bags", "bags in the sun")],
                        max_length=5,
                        verbose_name="as",
                    ),
                ),
                (
                    "count",
                    models.PositiveSmallIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(5000),
                        ],
                        verbose_name="how many",
                    ),
                ),
                ("seed_heads", models.BooleanField(default=False, verbose_name="with seed heads")),
                ("place", models.CharField(max_length=160, verbose_name="where")),
                ("sun_until", models.DateField(blank=True, null=True, verbose_name="in the sun until")),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)s_entries",
                        to="workdays.workday",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "struck_by",
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
                "verbose_name": "load",
                "verbose_name_plural": "loads",
                "ordering": ["entered_at", "id"],
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "pile"), ("sun_until", None)),
                            models.Q(("kind", "bags"), ("sun_until__isnull", False)),
                            _connector="OR",
                        ),
                        name="fieldbook_bags_have_sun_date",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Tally",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("unit_number", models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="unit")),
                (
                    "method",
                    models.CharField(
                        choices=[("counted", "counted"), ("bundles", "bundles × stems a bundle")],
                        max_length=7,
                        verbose_name="how counted",
                    ),
                ),
                ("stems", models.PositiveIntegerField(verbose_name="stems")),
                ("bundles", models.PositiveIntegerField(blank=True, null=True, verbose_name="bundles")),
                (
                    "sample",
                    models.JSONField(blank=True, default=list, verbose_name="stems in each bundle of the sample"),
                ),
                ("stems_low", models.PositiveIntegerField(blank=True, null=True)),
                ("stems_high", models.PositiveIntegerField(blank=True, null=True)),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)s_entries",
                        to="workdays.workday",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "struck_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "zone",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="tallies", to="stands.zone"
                    ),
                ),
            ],
            options={
                "verbose_name": "tally",
                "verbose_name_plural": "tallies",
                "ordering": ["entered_at", "id"],
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("bundles", None), ("method", "counted")),
                            models.Q(("bundles__isnull", False), ("method", "bundles")),
                            _connector="OR",
                        ),
                        name="fieldbook_tally_bundles_by_method",
                    )
                ],
            },
        ),
    ]
