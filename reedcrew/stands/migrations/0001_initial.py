import uuid
from decimal import Decimal

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.stands.fields
import reedcrew.stands.models.photos
import reedcrew.stands.time_zones


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("people", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="IdentificationCheck",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("observation", models.JSONField(verbose_name="what was seen")),
                (
                    "result",
                    models.CharField(
                        choices=[("introduced", "introduced"), ("native", "native"), ("not sure", "not sure")],
                        max_length=10,
                        verbose_name="finding",
                    ),
                ),
                ("native_sign", models.BooleanField(default=False)),
                (
                    "asked",
                    models.CharField(
                        blank=True,
                        choices=[("genetic test", "a genetic test"), ("qualified person", "a qualified person")],
                        max_length=16,
                        verbose_name="who was asked",
                    ),
                ),
                (
                    "asked_name",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="name of the test and laboratory, or of the person"
                    ),
                ),
                (
                    "asked_result",
                    models.CharField(
                        blank=True,
                        choices=[("introduced", "introduced"), ("native", "native"), ("not sure", "not sure")],
                        max_length=10,
                        verbose_name="their answer",
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="note")),
                ("checked_on", models.DateField(verbose_name="checked on")),
                ("recorded_at", models.DateTimeField()),
                ("submission", models.UUIDField(editable=False, null=True)),
                (
                    "checked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "identification check",
                "verbose_name_plural": "identification checks",
                "ordering": ["-checked_on", "-recorded_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Site",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                (
                    "latitude",
                    models.DecimalField(
                        decimal_places=6,
                        max_digits=8,
                        validators=[
                            django.core.validators.MinValueValidator(-90),
                            django.core.validators.MaxValueValidator(90),
                        ],
                        verbose_name="latitude",
                    ),
                ),
                (
                    "longitude",
                    models.DecimalField(
                        decimal_places=6,
                        max_digits=9,
                        validators=[
                            django.core.validators.MinValueValidator(-180),
                            django.core.validators.MaxValueValidator(180),
                        ],
                        verbose_name="longitude",
                    ),
                ),
                (
                    "time_zone",
                    models.CharField(
                        max_length=40,
                        validators=[reedcrew.stands.time_zones.validate_time_zone],
                        verbose_name="time zone",
                    ),
                ),
                ("meeting_place", models.CharField(max_length=200, verbose_name="meeting place")),
                ("access", models.TextField(blank=True, verbose_name="way in")),
                ("parking", models.TextField(blank=True, verbose_name="parking")),
                (
                    "phone_signal",
                    models.CharField(
                        choices=[("good", "good"), ("patchy", "patchy"), ("none", "none")],
                        default="patchy",
                        max_length=6,
                        verbose_name="phone signal",
                    ),
                ),
                (
                    "emergency_entrance",
                    models.CharField(
                        help_text="Where an ambulance should come to.",
                        max_length=200,
                        verbose_name="nearest emergency entrance",
                    ),
                ),
                ("hazards", models.TextField(blank=True, verbose_name="hazards")),
                (
                    "window_opens",
                    reedcrew.stands.fields.MonthDayField(
                        blank=True, null=True, verbose_name="first day of the permitted weeks"
                    ),
                ),
                (
                    "window_closes",
                    reedcrew.stands.fields.MonthDayField(
                        blank=True, null=True, verbose_name="last day of the permitted weeks"
                    ),
                ),
                (
                    "window_authority",
                    models.CharField(blank=True, max_length=160, verbose_name="authority that set the permitted weeks"),
                ),
                ("outline", models.JSONField(blank=True, editable=False, null=True, verbose_name="boundary")),
                (
                    "area_m2",
                    models.DecimalField(
                        blank=True, decimal_places=1, editable=False, max_digits=12, null=True, verbose_name="area, m²"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="sites", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "site",
                "verbose_name_plural": "sites",
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("group", "name"), name="stands_site_name_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("window_closes", None), ("window_opens", None)),
                            models.Q(
                                ("window_closes__isnull", False),
                                ("window_opens__isnull", False),
                                models.Q(("window_authority", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="stands_site_window_whole",
                        violation_error_message="An own window needs first day, last day and the authority that set it.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Gauge",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=60, verbose_name="name or number of the gauge")),
                ("datum", models.CharField(max_length=200, verbose_name="datum: what its zero is")),
                ("note", models.TextField(blank=True, verbose_name="note")),
                ("since", models.DateField(verbose_name="read from this day on")),
                (
                    "until",
                    models.DateField(
                        blank=True, editable=False, null=True, verbose_name="last day on which it was read"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="gauges", to="stands.site"
                    ),
                ),
            ],
            options={
                "verbose_name": "gauge",
                "verbose_name_plural": "gauges",
                "ordering": ["-since", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("until", None)), fields=("site",), name="stands_gauge_one_in_use"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("datum", ""), _negated=True), name="stands_gauge_has_datum"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("until", None), ("until__gte", models.F("since")), _connector="OR"),
                        name="stands_gauge_ends_after_it_begins",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SiteNotice",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("nesting", "nesting birds"),
                            ("spawning", "spawning fish"),
                            ("permit", "condition of a permit"),
                            ("other", "other"),
                        ],
                        max_length=8,
                        verbose_name="about",
                    ),
                ),
                (
                    "effect",
                    models.CharField(
                        choices=[
                            ("forbids", "a prohibition: no work on these days"),
                            ("permits", "a permission: work on these days only"),
                        ],
                        max_length=7,
                        verbose_name="what it is",
                    ),
                ),
                (
                    "scope",
                    models.CharField(
                        choices=[("site", "all work at the site"), ("water", "work in water only")],
                        default="site",
                        max_length=5,
                        verbose_name="applies to",
                    ),
                ),
                (
                    "force",
                    models.CharField(
                        choices=[
                            ("stop", "must be kept: other days are closed"),
                            ("advice", "asks for care: days stay open, with a caution"),
                        ],
                        default="stop",
                        max_length=6,
                        verbose_name="how strict it is",
                    ),
                ),
                ("opens", reedcrew.stands.fields.MonthDayField(verbose_name="first day")),
                ("closes", reedcrew.stands.fields.MonthDayField(verbose_name="last day")),
                (
                    "year",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1900),
                            django.core.validators.MaxValueValidator(2199),
                        ],
                        verbose_name="year",
                    ),
                ),
                ("issuer", models.CharField(max_length=160, verbose_name="authority that issued it")),
                ("reference", models.CharField(blank=True, max_length=160, verbose_name="reference")),
                ("issued_on", models.DateField(blank=True, null=True, verbose_name="issued on")),
                ("note", models.TextField(blank=True, verbose_name="note")),
                (
                    "until",
                    models.DateField(
                        blank=True, editable=False, null=True, verbose_name="last day on which the notice holds"
                    ),
                ),
                (
                    "ended_because",
                    models.CharField(blank=True, editable=False, max_length=300, verbose_name="why it ended"),
                ),
                ("recorded_at", models.DateTimeField(editable=False)),
                ("submission", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "recorded_by",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="notices", to="stands.site"
                    ),
                ),
            ],
            options={
                "verbose_name": "notice",
                "verbose_name_plural": "notices",
                "ordering": ["opens", "closes", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("issuer", ""), _negated=True), name="stands_notice_has_issuer"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("until", None), models.Q(("ended_because", ""), _negated=True), _connector="OR"
                        ),
                        name="stands_notice_end_has_reason",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Stand",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                (
                    "identification",
                    models.CharField(
                        choices=[
                            ("unchecked", "not decided yet"),
                            ("introduced", "introduced"),
                            ("native", "native"),
                            ("not sure", "not sure"),
                        ],
                        default="unchecked",
                        editable=False,
                        max_length=10,
                        verbose_name="subspecies",
                    ),
                ),
                (
                    "first_cut_year",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1950),
                            django.core.validators.MaxValueValidator(2200),
                        ],
                        verbose_name="first year of cutting",
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="note")),
                ("outline", models.JSONField(blank=True, editable=False, null=True, verbose_name="outline")),
                (
                    "area_m2",
                    models.DecimalField(
                        blank=True, decimal_places=1, editable=False, max_digits=12, null=True, verbose_name="area, m²"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stands",
                        to="stands.site",
                        verbose_name="site",
                    ),
                ),
            ],
            options={
                "verbose_name": "stand",
                "verbose_name_plural": "stands",
                "ordering": ["site__name", "name", "pk"],
                "constraints": [models.UniqueConstraint(fields=("site", "name"), name="stands_stand_name_once")],
            },
        ),
        migrations.CreateModel(
            name="IdentificationDecision",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "result",
                    models.CharField(
                        choices=[("introduced", "introduced"), ("native", "native"), ("not sure", "not sure")],
                        max_length=10,
                        verbose_name="which reed it is",
                    ),
                ),
                (
                    "authority",
                    models.CharField(
                        choices=[
                            ("findings", "what the checks found"),
                            ("genetic test", "a genetic test"),
                            ("qualified person", "a qualified person"),
                        ],
                        max_length=16,
                        verbose_name="what it rests on",
                    ),
                ),
                (
                    "authority_name",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="name of the test and laboratory, or of the person"
                    ),
                ),
                ("reason", models.TextField(verbose_name="reason")),
                ("decided_at", models.DateTimeField()),
                ("submission", models.UUIDField(editable=False, null=True)),
                (
                    "checks",
                    models.ManyToManyField(blank=True, related_name="decisions", to="stands.identificationcheck"),
                ),
                (
                    "decided_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "latest_known",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.RESTRICT,
                        related_name="+",
                        to="stands.identificationcheck",
                    ),
                ),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="decisions", to="stands.stand"
                    ),
                ),
            ],
            options={
                "verbose_name": "decision about the subspecies",
                "verbose_name_plural": "decisions about the subspecies",
                "ordering": ["-pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("stand", "submission"), name="stands_decision_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("authority", "findings"), ("authority_name", "")),
                            models.Q(
                                models.Q(("authority", "findings"), _negated=True),
                                models.Q(("authority_name", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="stands_decision_names_its_authority",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="identificationcheck",
            name="stand",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="checks", to="stands.stand"
            ),
        ),
        migrations.CreateModel(
            name="Survey",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("surveyed_on", models.DateField(verbose_name="counted on")),
                (
                    "quadrat_m2",
                    models.DecimalField(
                        decimal_places=3,
                        max_digits=6,
                        validators=[
                            django.core.validators.MinValueValidator(Decimal("0.01")),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="area of a quadrat, m²",
                    ),
                ),
                (
                    "gauge_cm",
                    models.SmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-10000),
                            django.core.validators.MaxValueValidator(10000),
                        ],
                        verbose_name="gauge level at the survey, cm",
                    ),
                ),
                ("counted_by", models.CharField(blank=True, max_length=160, verbose_name="counted by")),
                ("note", models.TextField(blank=True, max_length=2000, verbose_name="note")),
                ("recorded_at", models.DateTimeField()),
                ("submission", models.UUIDField(editable=False, null=True)),
                ("depth_changes", models.JSONField(blank=True, default=dict, editable=False)),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                (
                    "recorded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="surveys", to="stands.stand"
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
                "verbose_name": "survey",
                "verbose_name_plural": "surveys",
                "ordering": ["-surveyed_on", "-recorded_at", "-pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("stand", "submission"), name="stands_survey_once"),
                    models.CheckConstraint(
                        condition=models.Q(("quadrat_m2__gt", 0)), name="stands_survey_quadrat_has_area"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("struck_at", None), ("struck_by", None), ("struck_reason", "")),
                            models.Q(
                                ("struck_at__isnull", False),
                                ("struck_by__isnull", False),
                                models.Q(("struck_reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="stands_survey_struck_whole",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WaterLevel",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "level_cm",
                    models.SmallIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(-10000),
                            django.core.validators.MaxValueValidator(10000),
                        ],
                        verbose_name="gauge level, cm",
                    ),
                ),
                ("read_at", models.DateTimeField(verbose_name="read at")),
                (
                    "gauge",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="levels", to="stands.gauge"
                    ),
                ),
                (
                    "read_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "water level",
                "verbose_name_plural": "water levels",
                "ordering": ["-read_at", "-pk"],
                "constraints": [models.UniqueConstraint(fields=("gauge", "read_at"), name="stands_level_once_a_time")],
            },
        ),
        migrations.CreateModel(
            name="Zone",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=40, verbose_name="name")),
                (
                    "depth_cm",
                    models.PositiveSmallIntegerField(
                        help_text="0 is dry land. Measure at the deepest place where people would stand.",
                        validators=[django.core.validators.MaxValueValidator(1000)],
                        verbose_name="depth at the survey, cm",
                    ),
                ),
                ("surveyed_on", models.DateField(verbose_name="surveyed on")),
                (
                    "gauge_cm",
                    models.SmallIntegerField(
                        blank=True,
                        help_text="Leave empty where there is no gauge.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-10000),
                            django.core.validators.MaxValueValidator(10000),
                        ],
                        verbose_name="gauge level at the survey, cm",
                    ),
                ),
                (
                    "current_m_s",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("0"),
                        max_digits=4,
                        validators=[
                            django.core.validators.MinValueValidator(Decimal("0")),
                            django.core.validators.MaxValueValidator(10),
                        ],
                        verbose_name="current, m/s",
                    ),
                ),
                (
                    "bed",
                    models.CharField(
                        choices=[
                            ("firm", "firm sand or gravel"),
                            ("soft", "soft mud"),
                            ("peat", "peat or roots"),
                            ("dry", "dry ground"),
                        ],
                        default="soft",
                        max_length=4,
                        verbose_name="bed",
                    ),
                ),
                (
                    "stems",
                    models.PositiveIntegerField(
                        default=0,
                        validators=[django.core.validators.MaxValueValidator(100000000)],
                        verbose_name="estimated stems",
                    ),
                ),
                (
                    "units_max",
                    models.PositiveSmallIntegerField(
                        default=4,
                        validators=[django.core.validators.MaxValueValidator(60)],
                        verbose_name="most units at once",
                    ),
                ),
                ("outline", models.JSONField(blank=True, null=True, verbose_name="outline")),
                (
                    "area_m2",
                    models.DecimalField(
                        blank=True, decimal_places=1, editable=False, max_digits=12, null=True, verbose_name="area, m²"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="zones", to="stands.stand"
                    ),
                ),
            ],
            options={
                "verbose_name": "zone",
                "verbose_name_plural": "zones",
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("stand", "name"), name="stands_zone_name_once"),
                    models.CheckConstraint(
                        condition=models.Q(("current_m_s__gte", 0)), name="stands_zone_current_not_negative"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Quadrat",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "number",
                    models.PositiveSmallIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(9999),
                        ],
                        verbose_name="number",
                    ),
                ),
                (
                    "stems",
                    models.PositiveIntegerField(
                        validators=[django.core.validators.MaxValueValidator(100000)], verbose_name="stems"
                    ),
                ),
                (
                    "height_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(800)],
                        verbose_name="height, cm",
                    ),
                ),
                (
                    "depth_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(1000)],
                        verbose_name="depth, cm",
                    ),
                ),
                ("seed_heads", models.PositiveIntegerField(blank=True, null=True, verbose_name="seed heads")),
                (
                    "latitude",
                    models.DecimalField(
                        blank=True,
                        decimal_places=6,
                        max_digits=8,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-90),
                            django.core.validators.MaxValueValidator(90),
                        ],
                        verbose_name="latitude",
                    ),
                ),
                (
                    "longitude",
                    models.DecimalField(
                        blank=True,
                        decimal_places=6,
                        max_digits=9,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-180),
                            django.core.validators.MaxValueValidator(180),
                        ],
                        verbose_name="longitude",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                (
                    "survey",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="quadrats", to="stands.survey"
                    ),
                ),
                (
                    "zone",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="quadrats", to="stands.zone"
                    ),
                ),
            ],
            options={
                "verbose_name": "quadrat",
                "verbose_name_plural": "quadrats",
                "ordering": ["zone__name", "number", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("survey", "zone", "number"), name="stands_quadrat_number_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("seed_heads", None), ("seed_heads__lte", models.F("stems")), _connector="OR"
                        ),
                        name="stands_quadrat_heads_on_stems",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("latitude", None), ("longitude", None)),
                            models.Q(("latitude__isnull", False), ("longitude__isnull", False)),
                            _connector="OR",
                        ),
                        name="stands_quadrat_position_whole",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CheckPhoto",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "code",
                    models.CharField(
                        default=reedcrew.stands.models.photos.new_photo_code, editable=False, max_length=32, unique=True
                    ),
                ),
                ("picture", models.FileField(upload_to=reedcrew.stands.models.photos.photo_path)),
                ("thumbnail", models.FileField(upload_to=reedcrew.stands.models.photos.photo_path)),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("digest", models.CharField(editable=False, max_length=64)),
                (
                    "latitude",
                    models.DecimalField(
                        blank=True,
                        decimal_places=6,
                        max_digits=8,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-90),
                            django.core.validators.MaxValueValidator(90),
                        ],
                        verbose_name="latitude",
                    ),
                ),
                (
                    "longitude",
                    models.DecimalField(
                        blank=True,
                        decimal_places=6,
                        max_digits=9,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-180),
                            django.core.validators.MaxValueValidator(180),
                        ],
                        verbose_name="longitude",
                    ),
                ),
                ("added_at", models.DateTimeField()),
                (
                    "added_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "check_of",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="photos",
                        to="stands.identificationcheck",
                    ),
                ),
            ],
            options={
                "verbose_name": "photo of a check",
                "verbose_name_plural": "photos of checks",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("check_of", "digest"), name="stands_photo_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("latitude__isnull", True), ("longitude__isnull", True)),
                            models.Q(("latitude__isnull", False), ("longitude__isnull", False)),
                            _connector="OR",
                        ),
                        name="stands_photo_position_whole",
                    ),
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="identificationcheck",
            constraint=models.UniqueConstraint(fields=("stand", "submission"), name="stands_check_once"),
        ),
        migrations.AddConstraint(
            model_name="identificationcheck",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("asked", ""), ("asked_name", ""), ("asked_result", "")),
                    models.Q(
                        models.Q(("asked", ""), _negated=True),
                        models.Q(("asked_name", ""), _negated=True),
                        models.Q(("asked_result", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="stands_check_asked_whole",
            ),
        ),
    ]
