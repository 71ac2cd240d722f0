from decimal import Decimal

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.grants.models.earlier
import reedcrew.grants.models.grants
import reedcrew.grants.models.hours
import reedcrew.grants.models.jobs


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
            name="EarlierBatch",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "state",
                    models.CharField(
                        choices=[("uploaded", "not taken over yet"), ("imported", "taken over"), ("undone", "undone")],
                        default="uploaded",
                        max_length=8,
                    ),
                ),
                ("file_name", models.CharField(max_length=120, verbose_name="file")),
                ("suffix", models.CharField(max_length=5)),
                ("digest", models.CharField(max_length=64)),
                ("file", models.FileField(blank=True, upload_to=reedcrew.grants.models.earlier.earlier_path)),
                ("mapping", models.JSONField(blank=True, default=dict)),
                ("uploaded_at", models.DateTimeField()),
                ("rows", models.PositiveIntegerField(default=0)),
                ("imported_at", models.DateTimeField(blank=True, null=True)),
                ("undone_at", models.DateTimeField(blank=True, null=True)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="earlier_batches", to="people.group"
                    ),
                ),
                (
                    "imported_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "undone_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "uploaded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "import of earlier work",
                "verbose_name_plural": "imports of earlier work",
                "ordering": ["-uploaded_at", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state", "imported")),
                        fields=("group", "digest"),
                        name="grants_earlier_file_once",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="EarlierLine",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("row", models.PositiveIntegerField()),
                ("date", models.DateField()),
                ("name", models.CharField(max_length=80)),
                ("code", models.CharField(max_length=8)),
                (
                    "kind",
                    models.CharField(
                        choices=[("field", "field work"), ("travel", "travel"), ("preparation", "preparation")],
                        default="field",
                        max_length=11,
                    ),
                ),
                ("minutes", models.PositiveIntegerField()),
                ("stems", models.PositiveIntegerField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "batch",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="lines", to="grants.earlierbatch"
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="earlier_lines", to="people.group"
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="earlier_lines",
                        to="people.member",
                    ),
                ),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="earlier_lines", to="stands.stand"
                    ),
                ),
            ],
            options={
                "verbose_name": "line of earlier work",
                "verbose_name_plural": "lines of earlier work",
                "ordering": ["date", "row", "pk"],
                "indexes": [models.Index(fields=["group", "date"], name="grants_earlier_by_date")],
            },
        ),
        migrations.CreateModel(
            name="Family",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("note", models.TextField(blank=True, verbose_name="note")),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="grant_families", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "family of grants",
                "verbose_name_plural": "families of grants",
                "ordering": ["name", "pk"],
                "constraints": [models.UniqueConstraint(fields=("group", "name"), name="grants_family_name_once")],
            },
        ),
        migrations.CreateModel(
            name="Grant",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("funder", models.CharField(max_length=120, verbose_name="funder")),
                ("number", models.CharField(blank=True, max_length=60, verbose_name="grant number")),
                ("starts_on", models.DateField(verbose_name="first day")),
                ("ends_on", models.DateField(verbose_name="last day")),
                (
                    "kinds",
                    models.JSONField(
                        default=reedcrew.grants.models.grants.every_kind, verbose_name="eligible kinds of hour"
                    ),
                ),
                (
                    "activities",
                    models.JSONField(
                        default=reedcrew.grants.models.grants.every_activity, verbose_name="eligible activities"
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        default="USD",
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}\\Z", "Give the three capital letters of the currency, such as USD or CAD."
                            )
                        ],
                        verbose_name="currency",
                    ),
                ),
                (
                    "award",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=12,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="award",
                    ),
                ),
                (
                    "match_target",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=12,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="match to bring",
                    ),
                ),
                (
                    "rounding",
                    models.CharField(
                        choices=[
                            ("none", "none: whole minutes"),
                            ("5 minutes", "to 5 minutes"),
                            ("tenth", "to a tenth of an hour"),
                            ("quarter", "to a quarter of an hour"),
                        ],
                        default="none",
                        max_length=9,
                        verbose_name="rounding of times",
                    ),
                ),
                ("names_required", models.BooleanField(default=False, verbose_name="the funder requires names")),
                (
                    "licence",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("", "not open: for the funder only"),
                            ("CC0-1.0", "CC0 1.0: no rights kept"),
                            ("CC-BY-4.0", "CC BY 4.0: with attribution"),
                            ("CC-BY-NC-4.0", "CC BY-NC 4.0: with attribution, not for profit"),
                        ],
                        max_length=12,
                        verbose_name="licence of the data",
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="note")),
                (
                    "family",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="grants",
                        to="grants.family",
                        verbose_name="family",
                    ),
                ),
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
            name="ExportJob",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("first", models.DateField()),
                ("last", models.DateField()),
                (
                    "form",
                    models.CharField(
                        choices=[
                            ("paper", "PDF: the report to read, print and sign"),
                            ("workbook", "XLSX: all tables and lines as a spreadsheet"),
                            ("summary", "CSV: every sum"),
                            ("lines", "CSV: each line of the ledger"),
                            ("bundle", "ZIP: everything, with checksums, to work every sum out again"),
                        ],
                        max_length=8,
                        verbose_name="as",
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("running", "being made"),
                            ("done", "ready"),
                            ("failed", "failed"),
                        ],
                        default="waiting",
                        max_length=7,
                    ),
                ),
                (
                    "code",
                    models.CharField(
                        default=reedcrew.grants.models.jobs.new_export_code, editable=False, max_length=32, unique=True
                    ),
                ),
                ("language", models.CharField(max_length=10)),
                ("asked_at", models.DateTimeField()),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                ("alive_at", models.DateTimeField(blank=True, null=True)),
                ("lines_done", models.PositiveIntegerField(default=0)),
                ("lines_all", models.PositiveIntegerField(blank=True, null=True)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("expires_at", models.DateTimeField(blank=True, null=True)),
                ("error", models.CharField(blank=True, max_length=300)),
                ("file", models.FileField(blank=True, upload_to=reedcrew.grants.models.jobs.export_path)),
                ("size", models.PositiveBigIntegerField(default=0)),
                ("digest", models.CharField(blank=True, max_length=64)),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="export_jobs", to="people.group"
                    ),
                ),
                (
                    "grant",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="export_jobs", to="grants.grant"
                    ),
                ),
            ],
            options={
                "verbose_name": "file of a report",
                "verbose_name_plural": "files of reports",
                "ordering": ["-asked_at", "-pk"],
                "indexes": [models.Index(fields=["state", "asked_at"], name="grants_export_by_state")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("last__gte", models.F("first"))), name="grants_export_period_forward"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "done"), _negated=True),
                            models.Q(("file", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="grants_export_done_has_file",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "failed"), _negated=True),
                            models.Q(("error", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="grants_export_failed_says_why",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HourEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[("field", "field work"), ("travel", "travel"), ("preparation", "preparation")],
                        default="field",
                        max_length=11,
                    ),
                ),
                (
                    "activity",
                    models.CharField(
                        choices=[
                            ("water", "cutting in water"),
                            ("land", "work on land"),
                            ("survey", "surveying"),
                            ("gear", "care of gear"),
                            ("planning", "planning and paperwork"),
                            ("way", "on the way"),
                        ],
                        default="land",
                        max_length=8,
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("crew", "crew work"),
                            ("lead", "leading the crew"),
                            ("safety", "spotting and first aid"),
                            ("support", "desk, gear and planning"),
                        ],
                        default="crew",
                        max_length=7,
                    ),
                ),
                ("date", models.DateField()),
                ("started_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField()),
                ("minutes", models.PositiveIntegerField()),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("evidence", models.CharField(blank=True, max_length=400, verbose_name="evidence")),
                (
                    "evidence_file",
                    models.FileField(
                        blank=True, upload_to=reedcrew.grants.models.hours.evidence_path, verbose_name="file"
                    ),
                ),
                ("entered_at", models.DateTimeField()),
                (
                    "attendance",
                    models.ForeignKey(
                        blank=True,
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
                    models.CheckConstraint(
                        condition=models.Q(
                            ("kind", "field"), models.Q(("evidence", ""), _negated=True), _connector="OR"
                        ),
                        name="grants_hours_have_evidence",
                        violation_error_message="Travel and preparation need evidence.",
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
        migrations.CreateModel(
            name="HourlyRate",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("crew", "crew work"),
                            ("lead", "leading the crew"),
                            ("safety", "spotting and first aid"),
                            ("support", "desk, gear and planning"),
                        ],
                        max_length=7,
                        verbose_name="role",
                    ),
                ),
                ("since", models.DateField(verbose_name="holds from")),
                (
                    "hourly",
                    models.DecimalField(
                        decimal_places=4,
                        max_digits=8,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(Decimal("1000")),
                        ],
                        verbose_name="value of an hour",
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}\\Z", "Give the three capital letters of the currency, such as USD or CAD."
                            )
                        ],
                        verbose_name="currency",
                    ),
                ),
                (
                    "fringe_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=0,
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(Decimal("100")),
                        ],
                        verbose_name="benefits on top, %",
                    ),
                ),
                ("source", models.CharField(max_length=240, verbose_name="source")),
                ("source_date", models.DateField(verbose_name="date of the source")),
                ("recorded_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_reason", models.CharField(blank=True, max_length=200)),
                (
                    "grant",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rates",
                        to="grants.grant",
                        verbose_name="only for",
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="hourly_rates", to="people.group"
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "withdrawn_by",
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
                "verbose_name": "hourly value",
                "verbose_name_plural": "hourly values",
                "ordering": ["role", "-since", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("grant", None), ("withdrawn_at", None)),
                        fields=("group", "role", "currency", "since"),
                        name="grants_rate_of_group_once",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_at", None)),
                        fields=("grant", "role", "currency", "since"),
                        name="grants_rate_of_grant_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OpenDataChoice",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("published", models.BooleanField(default=False, verbose_name="publish open data")),
                (
                    "licence",
                    models.CharField(
                        choices=[
                            ("CC0-1.0", "CC0 1.0: no rights kept"),
                            ("CC-BY-4.0", "CC BY 4.0: with attribution"),
                            ("CC-BY-NC-4.0", "CC BY-NC 4.0: with attribution, not for profit"),
                        ],
                        default="CC-BY-4.0",
                        max_length=12,
                        verbose_name="licence",
                    ),
                ),
                (
                    "blurring",
                    models.CharField(
                        choices=[
                            ("exact", "exact, with outlines and names of places"),
                            ("0.001", "to a grid of 0.001°, about 100 m"),
                            ("0.01", "to a grid of 0.01°, about 1 km"),
                            ("0.1", "to a grid of 0.1°, about 10 km"),
                        ],
                        default="0.01",
                        max_length=5,
                        verbose_name="positions of stands",
                    ),
                ),
                ("changed_at", models.DateTimeField(null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "changed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "group",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="open_data_choice", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "choice about open data",
                "verbose_name_plural": "choices about open data",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("licence__in", ["CC0-1.0", "CC-BY-4.0", "CC-BY-NC-4.0"])),
                        name="grants_open_data_licensed",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Release",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("claimed_at", models.DateTimeField()),
                ("released_at", models.DateTimeField()),
                ("reason", models.CharField(max_length=200, verbose_name="reason")),
                (
                    "claimed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="releases", to="grants.hourentry"
                    ),
                ),
                (
                    "grant",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="releases", to="grants.grant"
                    ),
                ),
                (
                    "released_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "release of a claim",
                "verbose_name_plural": "releases of claims",
                "ordering": ["released_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="grants_release_has_reason"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ReportingDate",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("due_on", models.DateField(verbose_name="due on")),
                ("covers_to", models.DateField(verbose_name="covers the work up to")),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                (
                    "grant",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="reporting_dates", to="grants.grant"
                    ),
                ),
                (
                    "sent_by",
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
                "verbose_name": "reporting date",
                "verbose_name_plural": "reporting dates",
                "ordering": ["due_on", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("grant", "due_on"), name="grants_reporting_date_once"),
                    models.CheckConstraint(
                        condition=models.Q(("covers_to__lte", models.F("due_on"))), name="grants_report_covers_the_past"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Approval",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("entries", models.PositiveIntegerField()),
                ("minutes", models.PositiveIntegerField()),
                ("approved_at", models.DateTimeField()),
                ("reopened_at", models.DateTimeField(blank=True, null=True)),
                ("reopened_reason", models.CharField(blank=True, max_length=200)),
                (
                    "approved_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="approvals", to="workdays.workday"
                    ),
                ),
                (
                    "reopened_by",
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
                "verbose_name": "approval",
                "verbose_name_plural": "approvals",
                "ordering": ["approved_at", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("reopened_at", None)), fields=("day",), name="grants_day_approved_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("reopened_at", None), ("reopened_by", None), ("reopened_reason", "")),
                            models.Q(
                                ("reopened_at__isnull", False),
                                ("reopened_by__isnull", False),
                                models.Q(("reopened_reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="grants_reopening_whole",
                    ),
                ],
            },
        ),
    ]
