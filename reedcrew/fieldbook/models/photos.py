"""Photos of a day: how a zone looked before the work and after it."""

import secrets
from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from reedcrew.fieldbook.models.entries import FieldEntry, FieldEntryQuerySet
from reedcrew.stands.models import Zone


def new_photo_code() -> str:
    """A name that nobody guesses: 32 hexadecimal signs."""
    return secrets.token_hex(16)


def photo_path(photo: "DayPhoto", name: str) -> str:
    """Where a photo's file lies under MEDIA_ROOT."""
    return f"days/{name}"


class DayPhoto(FieldEntry):
    """A photo of before or after, written anew by web.photos: no place, no metadata; served to the group only."""

    class Kind(models.TextChoices):
        BEFORE = "before", _("before")
        AFTER = "after", _("after")

    kind = models.CharField(pgettext_lazy("photo", "taken"), max_length=6, choices=Kind.choices)
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, null=True, blank=True, related_name="day_photos")
    code = models.CharField(max_length=32, unique=True, default=new_photo_code, editable=False)
    picture = models.FileField(upload_to=photo_path)
    thumbnail = models.FileField(upload_to=photo_path)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, editable=False)  # SHA-256 of the picture

    objects: ClassVar[models.Manager["DayPhoto"]] = FieldEntryQuerySet["DayPhoto"].as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("photo of a day")
        verbose_name_plural = _("photos of a day")
