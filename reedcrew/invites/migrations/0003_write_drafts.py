from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def write_drafts(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Before the column goes, write down the mails that still wait as drafts."""
    from reedcrew.invites.drafts import write  # of the code that is left: the one that can read its drafts

    for mail in apps.get_model("invites", "OutgoingMail").objects.filter(draft__isnull=False).iterator():
        write(mail)


class Migration(migrations.Migration):
    dependencies = [("invites", "0002_outgoingmail_draft")]

    operations = [migrations.RunPython(migrations.RunPython.noop, write_drafts)]
