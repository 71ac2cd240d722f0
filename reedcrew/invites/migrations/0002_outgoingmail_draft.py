from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("invites", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="outgoingmail",
            name="draft",
            field=models.JSONField(blank=True, editable=False, null=True),
        ),
        migrations.AlterField(model_name="outgoingmail", name="raw", field=models.BinaryField(default=b"")),
    ]
