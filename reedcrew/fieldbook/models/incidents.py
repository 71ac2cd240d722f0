"""What went wrong on a day: private, encrypted at rest, told to the organizers at once."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models.entries import FieldEntry, FieldEntryQuerySet
from reedcrew.people.fields import EncryptedTextField

INCIDENT_TEXT_MAX = 4000  # characters of one field; a longer account is a paper of its own (convention)


class Incident(FieldEntry):
    """An injury, a near miss or a failure of gear, in the words of who wrote it down."""

    class Kind(models.TextChoices):
        INJURY = "injury", _("injury")
        NEAR_MISS = "near_miss", _("near miss")
        GEAR_FAILURE = "gear_failure", _("gear failure")

    kind = models.CharField(_("what kind"), max_length=12, choices=Kind.choices)
    happened_at = models.DateTimeField(_("when"))
    what = EncryptedTextField(_("what happened"), max_length=INCIDENT_TEXT_MAX)
    who = EncryptedTextField(_("who was hurt or in danger"), max_length=INCIDENT_TEXT_MAX, blank=True)
    first_aid = EncryptedTextField(_("first aid given"), max_length=INCIDENT_TEXT_MAX, blank=True)
    witness = EncryptedTextField(_("who saw it"), max_length=INCIDENT_TEXT_MAX, blank=True)

    objects: ClassVar[models.Manager["Incident"]] = FieldEntryQuerySet["Incident"].as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("incident")
        verbose_name_plural = _("incidents")
        ordering = ["happened_at", "id"]
