import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True
    dependencies = [
        ("fieldbook", "0001_initial"),
        ("people", "0001_initial"),
        ("stands", "0001_initial"),
        ("workdays", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]
    operations = [
        migrations.CreateModel(
            name="Grant",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("funder", models.CharField(max_length=120, verbose_name="funder")),
                ("number", models.CharField(blank=True, max_length=60, verbose_name="grant number")),
                ("starts_on", models.DateField(verbose_name="first day")),
                ("ends_on", models.DateField(verbose_name="last day")),
                ("note", models.TextField(blank=True, verbose_name="note")),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="grants", to="people.group"
                    ),
                ),
                (
                    "stands",
                    models.ManyToManyField(related_name="grants", to="stands.stand", verbose_name="eligible stands"),
                ),
            ],
            options={
                "verbose_name": "grant",
                "verbose_name_plural": "grants",
                "ordering": ["-starts_on", "name", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("group", "name"), name="grants_grant_name_once"),
                    models.CheckConstraint(
                        condition=models.Q(("ends_on__gte", models.F("starts_on"))),
                        name="grants_grant_ends_after_start",
                        violation_error_message="The last day must not be before the first.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HourEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("kind", models.CharField(choices=[("field", "field work")], default="field", max_length=11)),
                ("date", models.DateField()),
                ("started_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField()),
                ("minutes", models.PositiveIntegerField()),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("entered_at", models.DateTimeField()),
                (
                    "attendance",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hour_entries",
                        to="fieldbook.attendance",
                    ),
                ),
                (
                    "corrects",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="correction",
                        to="grants.hourentry",
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="hour_entries", to="workdays.workday"
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="hour_entries", to="people.group"
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="hour_entries", to="people.member"
                    ),
                ),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="hour_entries", to="stands.stand"
                    ),
                ),
            ],
            options={
                "verbose_name": "hours entry",
                "verbose_name_plural": "hours entries",
                "ordering": ["date", "started_at", "pk"],
                "indexes": [models.Index(fields=["group", "date"], name="grants_hours_by_date")],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("corrects", None)),
                        fields=("attendance",),
                        name="grants_attendance_entered_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("ended_at__gte", models.F("started_at"))),
                        name="grants_hours_end_after_start",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("corrects", None), models.Q(("reason", ""), _negated=True), _connector="OR"
                        ),
                        name="grants_correction_has_reason",
                        violation_error_message="A correction needs a reason.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Claim",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("claimed_at", models.DateTimeField()),
                (
                    "claimed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "grant",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="claims", to="grants.grant"
                    ),
                ),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, related_name="claim", to="grants.hourentry"
                    ),
                ),
            ],
            options={"verbose_name": "claim", "verbose_name_plural": "claims", "ordering": ["pk"]},
        ),
    ]
