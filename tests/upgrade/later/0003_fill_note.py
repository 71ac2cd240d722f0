from django.db import migrations


def fill(apps, schema_editor):
    apps.get_model("operation", "BackupRun").objects.update(note="of the first release")


class Migration(migrations.Migration):
    dependencies = [("operation", "0002_note")]

    operations = [
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
