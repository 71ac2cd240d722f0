import django.core.validators
import django.db.models.deletion
import django.db.models.functions.text
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import reedcrew.people.fields
import reedcrew.people.models.member


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Group",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                ("slug", models.SlugField(max_length=40, unique=True, verbose_name="short name in addresses")),
                ("about", models.TextField(blank=True, verbose_name="about the group")),
                (
                    "contact_email",
                    models.EmailField(
                        help_text="Shown on the public page of a work day.",
                        max_length=254,
                        verbose_name="contact address",
                    ),
                ),
                ("language", models.CharField(default="en", max_length=8, verbose_name="language")),
                ("created_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
            ],
            options={
                "verbose_name": "group",
                "verbose_name_plural": "groups",
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Account",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                ("last_login", models.DateTimeField(blank=True, null=True, verbose_name="last login")),
                ("email", models.EmailField(max_length=254, unique=True, verbose_name="email address")),
                ("language", models.CharField(blank=True, max_length=8, verbose_name="language")),
                (
                    "units",
                    models.CharField(
                        choices=[("metric", "Metric"), ("with_customary", "Metric and US customary")],
                        default="metric",
                        max_length=16,
                        verbose_name="units",
                    ),
                ),
                ("is_active", models.BooleanField(default=True, verbose_name="may sign in")),
                ("is_operator", models.BooleanField(default=False, verbose_name="runs this installation")),
                ("erased_at", models.DateTimeField(blank=True, editable=False, null=True)),
                (
                    "created_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False, verbose_name="created at"),
                ),
            ],
            options={
                "verbose_name": "account",
                "verbose_name_plural": "accounts",
                "constraints": [
                    models.UniqueConstraint(
                        django.db.models.functions.text.Lower("email"),
                        name="people_account_email_once",
                        violation_error_code="unique",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Member",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("organizer", "Organizer"),
                            ("coordinator", "Coordinator"),
                            ("crew_lead", "Crew lead"),
                            ("volunteer", "Volunteer"),
                        ],
                        default="volunteer",
                        max_length=12,
                        verbose_name="role",
                    ),
                ),
                ("trained_lead", models.BooleanField(default=False, verbose_name="trained crew lead")),
                (
                    "code",
                    models.CharField(default=reedcrew.people.models.member.new_code, editable=False, max_length=8),
                ),
                ("joined_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ("left_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("erased_at", models.DateTimeField(blank=True, editable=False, null=True)),
                (
                    "account",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="members", to="people.group"
                    ),
                ),
                (
                    "guardian",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="children",
                        to="people.member",
                        verbose_name="guardian",
                    ),
                ),
            ],
            options={
                "verbose_name": "member",
                "verbose_name_plural": "members",
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("left_at", None)),
                        fields=("group", "account"),
                        name="people_member_account_once",
                        violation_error_message="This account is a member of the group already.",
                    ),
                    models.UniqueConstraint(fields=("group", "code"), name="people_member_code_once"),
                    models.CheckConstraint(
                        condition=models.Q(("guardian", models.F("pk")), _negated=True),
                        name="people_member_not_own_guardian",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("erased_at", None),
                            models.Q(
                                ("account", None),
                                ("guardian", None),
                                ("left_at__isnull", False),
                                ("name", models.F("code")),
                            ),
                            _connector="OR",
                        ),
                        name="people_member_erased_whole",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PolicyChange",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=40)),
                ("value", models.JSONField()),
                ("changed_at", models.DateTimeField()),
                (
                    "changed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="policy_changes", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "change of a rule's value",
                "verbose_name_plural": "changes of rules' values",
                "ordering": ["changed_at", "pk"],
                "indexes": [models.Index(fields=["group", "changed_at"], name="people_policy_by_group")],
            },
        ),
        migrations.CreateModel(
            name="PrivateLook",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("at", models.DateTimeField()),
                ("why", models.CharField(max_length=120)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="looks", to="people.member"
                    ),
                ),
            ],
            options={
                "verbose_name": "look at a private record",
                "verbose_name_plural": "looks at private records",
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="PrivateRecord",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "emergency_name",
                    reedcrew.people.fields.EncryptedTextField(blank=True, verbose_name="emergency contact: name"),
                ),
                (
                    "emergency_phone",
                    reedcrew.people.fields.EncryptedTextField(blank=True, verbose_name="emergency contact: phone"),
                ),
                ("health_note", reedcrew.people.fields.EncryptedTextField(blank=True, verbose_name="health note")),
                ("updated_at", models.DateTimeField(auto_now=True)),
                (
                    "member",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="private", to="people.member"
                    ),
                ),
            ],
            options={
                "verbose_name": "private record",
                "verbose_name_plural": "private records",
            },
        ),
        migrations.CreateModel(
            name="Profile",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("adult", models.BooleanField(default=False, verbose_name="18 or older")),
                ("born_on", models.DateField(blank=True, null=True, verbose_name="date of birth")),
                ("languages", models.JSONField(blank=True, default=list, verbose_name="languages")),
                ("phone", models.CharField(blank=True, max_length=30, verbose_name="phone")),
                (
                    "first_aid_until",
                    models.DateField(blank=True, null=True, verbose_name="first-aid certificate valid until"),
                ),
                ("water_ready", models.BooleanField(default=False, verbose_name="willing and able to work in water")),
                (
                    "stature_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(50),
                            django.core.validators.MaxValueValidator(250),
                        ],
                        verbose_name="height in cm",
                    ),
                ),
                (
                    "jacket_class",
                    models.CharField(
                        blank=True,
                        choices=[("adult", "adult"), ("youth", "youth"), ("child", "child")],
                        max_length=8,
                        verbose_name="body mass",
                    ),
                ),
                (
                    "boot_eu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=3,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(20),
                            django.core.validators.MaxValueValidator(55),
                        ],
                        verbose_name="boot size, EU",
                    ),
                ),
                (
                    "hand_mm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(90),
                            django.core.validators.MaxValueValidator(340),
                        ],
                        verbose_name="hand circumference in mm",
                    ),
                ),
                ("own_gear", models.JSONField(blank=True, default=list, verbose_name="own gear")),
                (
                    "earlier_water_days",
                    models.PositiveSmallIntegerField(
                        default=0, verbose_name="days worked in water before joining, as the organizer confirmed"
                    ),
                ),
                ("updated_at", models.DateTimeField(auto_now=True)),
                (
                    "member",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="profile", to="people.member"
                    ),
                ),
            ],
            options={
                "verbose_name": "profile",
                "verbose_name_plural": "profiles",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("boot_eu", None), models.Q(("boot_eu__gte", 20), ("boot_eu__lte", 55)), _connector="OR"
                        ),
                        name="people_profile_boot_in_range",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Wish",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(choices=[("together", "work together"), ("apart", "keep apart")], max_length=8),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="wishes", to="people.member"
                    ),
                ),
                (
                    "other",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="wished_by", to="people.member"
                    ),
                ),
            ],
            options={
                "verbose_name": "wish",
                "verbose_name_plural": "wishes",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("member", "other"),
                        name="people_wish_once",
                        violation_error_message="You can ask to work with somebody or to be kept apart from them, not both.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("member", models.F("other")), _negated=True), name="people_wish_of_another"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="AuditEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("at", models.DateTimeField()),
                ("deed", models.CharField(max_length=40)),
                ("subject", models.CharField(max_length=80)),
                ("detail", models.JSONField(blank=True, default=dict)),
                (
                    "actor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="audit_entries", to="people.group"
                    ),
                ),
            ],
            options={
                "verbose_name": "audit entry",
                "verbose_name_plural": "audit entries",
                "ordering": ["-at", "-pk"],
                "indexes": [models.Index(fields=["group", "subject"], name="people_audit_by_subject")],
            },
        ),
    ]
