import uuid

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.workdays.models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("people", "__first__"),
        ("stands", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="WorkDay",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("title", models.CharField(max_length=80, verbose_name="title")),
                ("date", models.DateField(editable=False, verbose_name="date")),
                ("starts_at", models.DateTimeField(verbose_name="start")),
                ("ends_at", models.DateTimeField(verbose_name="end")),
                (
                    "water_places",
                    models.PositiveSmallIntegerField(
                        validators=[django.core.validators.MaxValueValidator(400)], verbose_name="places in water"
                    ),
                ),
                (
                    "land_places",
                    models.PositiveSmallIntegerField(
                        validators=[django.core.validators.MaxValueValidator(400)], verbose_name="places on land"
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="what to know")),
                ("what_to_bring", models.TextField(blank=True, verbose_name="what to bring")),
                (
                    "window_reason",
                    models.TextField(blank=True, verbose_name="reason for working outside the permitted weeks"),
                ),
                ("window_permit", models.CharField(blank=True, max_length=160, verbose_name="permit that allows it")),
                (
                    "forecast_temp_c",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=4, null=True, verbose_name="forecast: air, °C"
                    ),
                ),
                (
                    "forecast_rh_percent",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(100)],
                        verbose_name="forecast: relative humidity, %",
                    ),
                ),
                (
                    "forecast_wind_km_h",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=4, null=True, verbose_name="forecast: wind, km/h"
                    ),
                ),
                (
                    "forecast_water_temp_c",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=4, null=True, verbose_name="forecast: water, °C"
                    ),
                ),
                (
                    "status",
                    models.CharField(
                        choices=[("posted", "posted"), ("cancelled", "cancelled"), ("closed", "closed")],
                        default="posted",
                        editable=False,
                        max_length=9,
                    ),
                ),
                (
                    "cancel_reason",
                    models.TextField(blank=True, editable=False, verbose_name="why the day is cancelled"),
                ),
                (
                    "share_code",
                    models.CharField(
                        default=reedcrew.workdays.models.new_share_code, editable=False, max_length=10, unique=True
                    ),
                ),
                ("posted_at", models.DateTimeField(editable=False)),
                ("submission", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "posted_by",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "stand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_days",
                        to="stands.stand",
                        verbose_name="stand",
                    ),
                ),
                ("zones", models.ManyToManyField(related_name="work_days", to="stands.zone", verbose_name="zones")),
            ],
            options={
                "verbose_name": "work day",
                "verbose_name_plural": "work days",
                "ordering": ["-starts_at", "-pk"],
                "indexes": [models.Index(fields=["status", "starts_at"], name="workdays_day_by_time")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                        name="workdays_day_ends_after_start",
                        violation_error_message="The day must end after it starts.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="SignUp",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "place",
                    models.CharField(
                        choices=[("water", "in water"), ("land", "on land")], max_length=5, verbose_name="place"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("confirmed", "confirmed"),
                            ("waiting", "on the waiting list"),
                            ("offered", "asked to take a place"),
                            ("withdrawn", "withdrawn"),
                        ],
                        max_length=9,
                        verbose_name="state",
                    ),
                ),
                ("number", models.PositiveIntegerField(editable=False)),
                (
                    "outcome",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("", "not known yet"),
                            ("water", "worked in water"),
                            ("land", "worked on land"),
                            ("absent", "did not come"),
                        ],
                        default="",
                        max_length=6,
                    ),
                ),
                ("signed_up_at", models.DateTimeField()),
                ("changed_at", models.DateTimeField()),
                ("offer_until", models.DateTimeField(blank=True, null=True)),
                ("offer_lapsed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="sign_ups", to="people.member"
                    ),
                ),
                (
                    "signed_up_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="sign_ups", to="workdays.workday"
                    ),
                ),
            ],
            options={
                "verbose_name": "sign-up",
                "verbose_name_plural": "sign-ups",
                "ordering": ["number", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state", "withdrawn"), _negated=True),
                        fields=("day", "member"),
                        name="workdays_sign_up_once",
                        violation_error_message="This person has signed up for the day already.",
                    ),
                    models.UniqueConstraint(fields=("day", "number"), name="workdays_sign_up_number_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("offer_until__isnull", False), ("state", "offered")),
                            models.Q(models.Q(("state", "offered"), _negated=True), ("offer_until", None)),
                            _connector="OR",
                        ),
                        name="workdays_offer_has_an_end",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DayMark",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "code",
                    models.CharField(
                        choices=[("water", "water or zones changed"), ("season", "the calendar of the site changed")],
                        max_length=6,
                    ),
                ),
                ("reasons", models.JSONField(default=list)),
                ("since", models.DateTimeField()),
                ("changed_at", models.DateTimeField()),
                ("seen_at", models.DateTimeField(blank=True, null=True)),
                (
                    "seen_by",
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
                        on_delete=django.db.models.deletion.CASCADE, related_name="marks", to="workdays.workday"
                    ),
                ),
            ],
            options={
                "verbose_name": "mark of a day",
                "verbose_name_plural": "marks of days",
                "ordering": ["-since", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("seen_at", None)), fields=("day", "code"), name="workdays_mark_one_open"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("seen_at", None), ("seen_by", None)),
                            models.Q(("seen_at__isnull", False), ("seen_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="workdays_mark_seen_whole",
                    ),
                ],
            },
        ),
    ]
