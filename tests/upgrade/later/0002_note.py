from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("operation", "0001_initial")]

    operations = [
        migrations.AddField("backuprun", "note", models.CharField(max_length=20, default="")),
    ]
