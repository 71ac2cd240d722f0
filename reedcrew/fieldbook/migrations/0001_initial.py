import uuid

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.fieldbook.models.photos
import reedcrew.people.fields


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
            name="BriefingHeard",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("items", models.JSONField(default=list, verbose_name="points")),
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
                        on_delete=django.db.models.deletion.PROTECT, related_name="briefings_heard", to="people.member"
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
                "verbose_name": "briefing heard",
                "verbose_name_plural": "briefings heard",
                "ordering": ["entered_at", "id"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="DayPhoto",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                (
                    "kind",
                    models.CharField(
                        choices=[("before", "before"), ("after", "after")], max_length=6, verbose_name="taken"
                    ),
                ),
                (
                    "code",
                    models.CharField(
                        default=reedcrew.fieldbook.models.photos.new_photo_code,
                        editable=False,
                        max_length=32,
                        unique=True,
                    ),
                ),
                ("picture", models.FileField(upload_to=reedcrew.fieldbook.models.photos.photo_path)),
                ("thumbnail", models.FileField(upload_to=reedcrew.fieldbook.models.photos.photo_path)),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("digest", models.CharField(editable=False, max_length=64)),
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
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="day_photos",
                        to="stands.zone",
                    ),
                ),
            ],
            options={
                "verbose_name": "photo of a day",
                "verbose_name_plural": "photos of a day",
                "ordering": ["entered_at", "id"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="HeadCheck",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("seen", models.PositiveSmallIntegerField(verbose_name="people seen")),
                ("expected", models.PositiveSmallIntegerField(verbose_name="people expected")),
                ("all_out", models.BooleanField(default=False, verbose_name="everybody is out")),
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
                "verbose_name": "head count",
                "verbose_name_plural": "head counts",
                "ordering": ["entered_at", "id"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Incident",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                (
                    "kind",
                    models.CharField(
                        choices=[("injury", "injury"), ("near_miss", "near miss"), ("gear_failure", "gear failure")],
                        max_length=12,
                        verbose_name="what kind",
                    ),
                ),
                ("happened_at", models.DateTimeField(verbose_name="when")),
                ("what", reedcrew.people.fields.EncryptedTextField(max_length=4000, verbose_name="what happened")),
                (
                    "who",
                    reedcrew.people.fields.EncryptedTextField(
                        blank=True, max_length=4000, verbose_name="who was hurt or in danger"
                    ),
                ),
                (
                    "first_aid",
                    reedcrew.people.fields.EncryptedTextField(
                        blank=True, max_length=4000, verbose_name="first aid given"
                    ),
                ),
                (
                    "witness",
                    reedcrew.people.fields.EncryptedTextField(blank=True, max_length=4000, verbose_name="who saw it"),
                ),
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
                "verbose_name": "incident",
                "verbose_name_plural": "incidents",
                "ordering": ["happened_at", "id"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="KioskLink",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("digest", models.CharField(editable=False, max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="kiosk_links", to="workdays.workday"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "revoked_by",
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
                "verbose_name": "sign-in link",
                "verbose_name_plural": "sign-in links",
                "ordering": ["made_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="PhoneOfDay",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("key", models.UUIDField(editable=False)),
                ("name", models.CharField(blank=True, max_length=60, verbose_name="name of the phone")),
                ("first_at", models.DateTimeField()),
                ("last_at", models.DateTimeField()),
                ("offset_s", models.IntegerField(default=0, verbose_name="server time minus phone time")),
                (
                    "account",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="phones", to="workdays.workday"
                    ),
                ),
            ],
            options={
                "verbose_name": "phone of a day",
                "verbose_name_plural": "phones of a day",
                "ordering": ["first_at", "pk"],
                "constraints": [models.UniqueConstraint(fields=("day", "key"), name="fieldbook_phone_once_a_day")],
            },
        ),
        migrations.CreateModel(
            name="Submission",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("entry_id", models.UUIDField(editable=False)),
                ("digest", models.CharField(editable=False, max_length=64)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("sign_in", "sign-in"),
                            ("sign_out", "sign-out"),
                            ("walk_up", "walk-up"),
                            ("absent", "did not come"),
                            ("briefing_heard", "briefing heard"),
                            ("water_in", "into the water"),
                            ("water_out", "out of the water"),
                            ("all_out", "all out"),
                            ("head_check", "head count"),
                            ("tally", "stems"),
                            ("load", "load"),
                            ("incident", "incident"),
                            ("photo", "photo"),
                            ("note", "note"),
                            ("strike", "struck out"),
                            ("unknown", "not understood"),
                        ],
                        max_length=14,
                    ),
                ),
                ("data", models.JSONField(default=dict)),
                ("private", reedcrew.people.fields.EncryptedTextField(blank=True)),
                ("phone_at", models.DateTimeField(blank=True, null=True)),
                ("offset_s", models.IntegerField(default=0)),
                ("at", models.DateTimeField()),
                ("received_at", models.DateTimeField()),
                ("final", models.BooleanField(default=False)),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("taken", "taken"),
                            ("conflict", "taken, to be looked at"),
                            ("refused", "not taken, to be looked at"),
                        ],
                        default="taken",
                        max_length=8,
                    ),
                ),
                ("code", models.CharField(blank=True, max_length=40)),
                ("values", models.JSONField(blank=True, default=dict)),
                ("field", models.CharField(blank=True, max_length=60)),
                ("other_id", models.UUIDField(blank=True, null=True)),
                ("settled_at", models.DateTimeField(blank=True, null=True)),
                ("settled_note", models.CharField(blank=True, max_length=200)),
                (
                    "author",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="submissions", to="workdays.workday"
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="people.member",
                    ),
                ),
                (
                    "phone",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="submissions",
                        to="fieldbook.phoneofday",
                    ),
                ),
                (
                    "settled_by",
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
                "verbose_name": "entry as sent",
                "verbose_name_plural": "entries as sent",
                "ordering": ["at", "entry_id", "digest"],
                "indexes": [models.Index(fields=["entry_id"], name="fieldbook_submission_entry")],
                "constraints": [
                    models.UniqueConstraint(fields=("day", "entry_id", "digest"), name="fieldbook_submission_once")
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
        migrations.CreateModel(
            name="WaterStint",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("entered_at", models.DateTimeField()),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("unit_number", models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="unit")),
                ("in_at", models.DateTimeField(verbose_name="in at")),
                ("out_at", models.DateTimeField(blank=True, null=True, verbose_name="out at")),
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
                        on_delete=django.db.models.deletion.PROTECT, related_name="water_stints", to="people.member"
                    ),
                ),
                (
                    "out_by",
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
                (
                    "zone",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="water_stints",
                        to="stands.zone",
                    ),
                ),
            ],
            options={
                "verbose_name": "time in water",
                "verbose_name_plural": "times in water",
                "ordering": ["in_at", "id"],
                "abstract": False,
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("out_at", None), ("struck_at", None)),
                        fields=("day", "member"),
                        name="fieldbook_in_water_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("out_at", None), ("out_at__gte", models.F("in_at")), _connector="OR"),
                        name="fieldbook_out_of_water_after_in",
                    ),
                ],
            },
        ),
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
                ("moved_on_at", models.DateTimeField(blank=True, null=True)),
                ("moved_on_to", models.CharField(blank=True, max_length=160, verbose_name="where it went on")),
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
                    "moved_on_by",
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
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("moved_on_at", None), ("moved_on_by", None)),
                            models.Q(("kind", "bags"), ("moved_on_at__isnull", False), ("moved_on_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="fieldbook_bags_moved_on_by_somebody",
                    ),
                ],
            },
        ),
    ]
