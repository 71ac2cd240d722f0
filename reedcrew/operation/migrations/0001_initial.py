from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="BackupRun",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("started_at", models.DateTimeField()),
                ("finished_at", models.DateTimeField()),
                ("file_name", models.CharField(max_length=100)),
                ("octets", models.PositiveBigIntegerField(default=0)),
                ("tables", models.PositiveIntegerField(default=0)),
                ("rows", models.PositiveBigIntegerField(default=0)),
                ("files", models.PositiveBigIntegerField(default=0)),
                ("fault", models.CharField(blank=True, max_length=300)),
            ],
            options={
                "verbose_name": "backup",
                "verbose_name_plural": "backups",
                "ordering": ["-finished_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Heartbeat",
            fields=[
                ("name", models.CharField(max_length=20, primary_key=True, serialize=False)),
                ("at", models.DateTimeField()),
            ],
            options={
                "verbose_name": "heartbeat",
                "verbose_name_plural": "heartbeats",
            },
        ),
    ]
