import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "0001_initial"),
        ("workdays", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="CalendarEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("uid", models.CharField(max_length=120, unique=True)),
                ("organizer_name", models.CharField(max_length=80)),
                ("address", models.EmailField(max_length=254)),
                ("sequence", models.PositiveIntegerField(default=0)),
                ("last_dtstamp", models.DateTimeField()),
                ("partstat", models.CharField(max_length=12)),
                ("marks", models.JSONField()),
                ("first_message_id", models.CharField(max_length=200)),
                ("cancelled_at", models.DateTimeField(blank=True, null=True)),
                (
                    "sign_up",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, related_name="calendar_entry", to="workdays.signup"
                    ),
                ),
            ],
            options={
                "verbose_name": "calendar entry",
                "verbose_name_plural": "calendar entries",
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="OutgoingMail",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("invite", "invitation"),
                            ("change", "change"),
                            ("cancel", "cancellation"),
                            ("waiting list", "waiting list"),
                        ],
                        max_length=12,
                    ),
                ),
                ("to_address", models.EmailField(max_length=254)),
                ("envelope_from", models.CharField(max_length=200)),
                ("subject", models.CharField(max_length=200)),
                ("message_id", models.CharField(max_length=200, unique=True)),
                ("raw", models.BinaryField()),
                (
                    "state",
                    models.CharField(
                        choices=[("waiting", "waiting"), ("sent", "sent"), ("refused", "refused for good")],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                ("last_error", models.CharField(blank=True, max_length=300)),
                ("created_at", models.DateTimeField()),
                ("next_try_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="outgoing_mails", to="people.group"
                    ),
                ),
                (
                    "sign_up",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="mails",
                        to="workdays.signup",
                    ),
                ),
            ],
            options={
                "verbose_name": "outgoing mail",
                "verbose_name_plural": "outgoing mails",
                "ordering": ["-created_at", "-pk"],
                "indexes": [models.Index(fields=["state", "next_try_at"], name="invites_mail_due")],
            },
        ),
    ]
