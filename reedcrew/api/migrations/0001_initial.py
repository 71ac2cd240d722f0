import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reedcrew.people.fields


class Migration(migrations.Migration):
    initial = True
    dependencies = [("people", "0001_initial"), migrations.swappable_dependency(settings.AUTH_USER_MODEL)]
    operations = [
        migrations.CreateModel(
            name="Webhook",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("url", models.CharField(max_length=500, verbose_name="address")),
                ("events", models.JSONField(default=list)),
                ("secret", reedcrew.people.fields.EncryptedTextField()),
                ("earlier_secret", reedcrew.people.fields.EncryptedTextField(blank=True)),
                ("earlier_until", models.DateTimeField(blank=True, null=True)),
                ("made_at", models.DateTimeField()),
                ("paused_at", models.DateTimeField(blank=True, null=True)),
                ("removed_at", models.DateTimeField(blank=True, null=True)),
                ("submission", models.UUIDField(editable=False, unique=True)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="webhooks", to="people.group"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name": "webhook",
                "verbose_name_plural": "webhooks",
                "ordering": ["made_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("earlier_secret", ""), ("earlier_until", None)),
                            models.Q(("earlier_until__isnull", False), models.Q(("earlier_secret", ""), _negated=True)),
                            _connector="OR",
                        ),
                        name="api_webhook_earlier_secret_whole",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Delivery",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("code", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "event",
                    models.CharField(
                        choices=[
                            ("day.posted", "a work day was posted"),
                            ("day.closed", "a work day was closed after the field work"),
                            ("trial", "a trial, to see that messages arrive"),
                        ],
                        max_length=12,
                    ),
                ),
                ("body", models.TextField()),
                (
                    "state",
                    models.CharField(
                        choices=[("waiting", "waiting"), ("taken", "taken"), ("given up", "given up")],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                ("fault", models.CharField(blank=True, max_length=16)),
                ("status", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("made_at", models.DateTimeField()),
                ("next_try_at", models.DateTimeField()),
                ("tried_at", models.DateTimeField(blank=True, null=True)),
                ("taken_at", models.DateTimeField(blank=True, null=True)),
                (
                    "webhook",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="deliveries", to="api.webhook"
                    ),
                ),
            ],
            options={
                "verbose_name": "message to a webhook",
                "verbose_name_plural": "messages to webhooks",
                "ordering": ["-made_at", "-pk"],
                "indexes": [models.Index(fields=["state", "next_try_at"], name="api_delivery_due")],
            },
        ),
        migrations.CreateModel(
            name="ApiToken",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=60, verbose_name="name")),
                ("scopes", models.JSONField(default=list)),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("ending", models.CharField(max_length=4)),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("last_used_at", models.DateTimeField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("submission", models.UUIDField(editable=False, unique=True)),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="api_tokens", to="people.group"
                    ),
                ),
                (
                    "member",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="api_tokens", to="people.member"
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
                "verbose_name": "token",
                "verbose_name_plural": "tokens",
                "ordering": ["-made_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("expires_at__gt", models.F("made_at"))), name="api_token_ends_after_start"
                    )
                ],
            },
        ),
    ]
