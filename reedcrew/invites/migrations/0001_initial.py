import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True
    dependencies = [
        ("people", "0001_initial"),
        ("workdays", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]
    operations = [
        migrations.CreateModel(
            name="AddressFault",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("address", models.EmailField(db_index=True, max_length=254)),
                ("status", models.CharField(max_length=11)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("at", models.DateTimeField()),
                ("cleared_at", models.DateTimeField(null=True)),
            ],
            options={
                "verbose_name": "fault of an address",
                "verbose_name_plural": "faults of addresses",
                "ordering": ["-at", "-pk"],
            },
        ),
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
                ("reply_sequence", models.PositiveIntegerField(blank=True, null=True)),
                ("reply_dtstamp", models.DateTimeField(blank=True, null=True)),
                ("declined_by_mail", models.BooleanField(default=False)),
                ("resent_at", models.DateTimeField(blank=True, null=True)),
                (
                    "sign_up",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, related_name="calendar_entry", to="workdays.signup"
                    ),
                ),
            ],
            options={"verbose_name": "calendar entry", "verbose_name_plural": "calendar entries", "ordering": ["pk"]},
        ),
        migrations.CreateModel(
            name="FeedAddress",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                (
                    "account",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="feed_address",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "address of a calendar",
                "verbose_name_plural": "addresses of calendars",
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="GroupFeed",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("code", models.CharField(max_length=32, unique=True)),
                ("opened_at", models.DateTimeField()),
                (
                    "group",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="feed", to="people.group"
                    ),
                ),
            ],
            options={"verbose_name": "public calendar", "verbose_name_plural": "public calendars", "ordering": ["pk"]},
        ),
        migrations.CreateModel(
            name="RosterMessage",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("subject", models.CharField(max_length=120, verbose_name="subject")),
                ("words", models.TextField(max_length=4000, verbose_name="message")),
                ("about_safety", models.BooleanField(default=False, verbose_name="about safety")),
                ("to_waiting", models.BooleanField(default=False, verbose_name="also to the waiting list")),
                ("sent_at", models.DateTimeField()),
                ("people", models.PositiveIntegerField()),
                ("taken_back_at", models.DateTimeField(blank=True, null=True)),
                ("submission", models.UUIDField(editable=False, unique=True)),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="messages", to="workdays.workday"
                    ),
                ),
                (
                    "sent_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "message to a roster",
                "verbose_name_plural": "messages to rosters",
                "ordering": ["-sent_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="IncomingMail",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("answer", "calendar answer"),
                            ("bounce", "delivery report"),
                            ("automatic", "automatic reply"),
                            ("personal", "message"),
                            ("unusable", "could not be read"),
                        ],
                        max_length=9,
                    ),
                ),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("applied", "the sign-up follows the answer"),
                            ("held", "the person was asked to confirm"),
                            ("earlier", "answers an earlier version; the place is kept"),
                            ("noted", "nothing changed"),
                            ("passed on", "passed on to the organizers"),
                            ("resent", "the invitation was sent again"),
                            ("told", "the person was told that it is too late"),
                            ("marked", "the address is marked: mail does not arrive"),
                            ("ignored", "nothing changed"),
                            ("kept", "kept as it came"),
                        ],
                        max_length=9,
                    ),
                ),
                ("why", models.CharField(blank=True, max_length=100)),
                ("sender", models.EmailField(blank=True, max_length=254)),
                ("subject", models.CharField(blank=True, max_length=200)),
                ("message_id", models.CharField(blank=True, max_length=200)),
                ("words", models.TextField(blank=True)),
                ("reply_sequence", models.PositiveIntegerField(null=True)),
                ("reply_dtstamp", models.DateTimeField(null=True)),
                ("received_at", models.DateTimeField()),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("raw", models.BinaryField()),
                ("seen_at", models.DateTimeField(null=True)),
                (
                    "entry",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="incoming_mails",
                        to="invites.calendarentry",
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="incoming_mails",
                        to="people.group",
                    ),
                ),
                (
                    "seen_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "incoming mail",
                "verbose_name_plural": "incoming mails",
                "ordering": ["-received_at", "-pk"],
                "indexes": [models.Index(fields=["message_id"], name="invites_incoming_by_id")],
            },
        ),
        migrations.CreateModel(
            name="MailChoice",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("week before", "a reminder one week before"),
                            ("evening before", "a reminder on the evening before"),
                            ("message", "messages of the organizers"),
                            ("thanks", "thanks afterwards, with hours and stems"),
                        ],
                        max_length=14,
                    ),
                ),
                ("wanted", models.BooleanField()),
                ("changed_at", models.DateTimeField()),
                (
                    "account",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="mail_choices",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "choice of mail",
                "verbose_name_plural": "choices of mail",
                "ordering": ["kind", "pk"],
                "constraints": [models.UniqueConstraint(fields=("account", "kind"), name="invites_choice_once")],
            },
        ),
        migrations.CreateModel(
            name="Mailing",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("week before", "a reminder one week before"),
                            ("evening before", "a reminder on the evening before"),
                            ("message", "messages of the organizers"),
                            ("thanks", "thanks afterwards, with hours and stems"),
                        ],
                        max_length=14,
                    ),
                ),
                ("due_at", models.DateTimeField()),
                ("done_at", models.DateTimeField(blank=True, null=True)),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="mailings", to="workdays.workday"
                    ),
                ),
            ],
            options={
                "verbose_name": "mailing",
                "verbose_name_plural": "mailings",
                "ordering": ["due_at", "pk"],
                "constraints": [models.UniqueConstraint(fields=("day", "kind"), name="invites_mailing_once")],
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
                            ("offer", "place offered"),
                            ("answer", "question about an answer"),
                            ("reminder", "reminder"),
                            ("message", "message of the organizers"),
                            ("thanks", "thanks"),
                            ("passed on", "message passed on"),
                            ("incident", "word of an incident"),
                        ],
                        max_length=12,
                    ),
                ),
                ("to_address", models.EmailField(max_length=254)),
                ("domain", models.CharField(editable=False, max_length=255)),
                ("envelope_from", models.CharField(max_length=200)),
                ("subject", models.CharField(max_length=200)),
                ("message_id", models.CharField(max_length=200, unique=True)),
                ("raw", models.BinaryField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("sent", "sent"),
                            ("refused", "refused for good"),
                            ("dropped", "no longer needed"),
                        ],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                ("last_error", models.CharField(blank=True, max_length=300)),
                ("created_at", models.DateTimeField()),
                ("next_try_at", models.DateTimeField()),
                ("tried_at", models.DateTimeField(blank=True, null=True)),
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
                (
                    "roster_message",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="mails",
                        to="invites.rostermessage",
                    ),
                ),
            ],
            options={
                "verbose_name": "outgoing mail",
                "verbose_name_plural": "outgoing mails",
                "ordering": ["-created_at", "-pk"],
                "indexes": [
                    models.Index(fields=["state", "next_try_at"], name="invites_mail_due"),
                    models.Index(fields=["tried_at"], name="invites_mail_tried"),
                    models.Index(fields=["envelope_from"], name="invites_mail_by_envelope"),
                ],
            },
        ),
    ]
