"""Who heard the briefing."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models.entries import FieldEntry, FieldEntryQuerySet
from reedcrew.people.models import Member


class BriefingHeard(FieldEntry):
    """One person heard the points of the briefing; ``items`` are the names of the points."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="briefings_heard")
    items = models.JSONField(_("points"), default=list)

    objects: ClassVar[models.Manager["BriefingHeard"]] = FieldEntryQuerySet["BriefingHeard"].as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("briefing heard")
        verbose_name_plural = _("briefings heard")
