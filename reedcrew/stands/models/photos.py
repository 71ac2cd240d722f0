"""Photos of checks."""

import secrets
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.checks import IdentificationCheck
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX


def new_photo_code() -> str:
    """A name that nobody guesses: 32 hexadecimal signs."""
    return secrets.token_hex(16)


def photo_path(photo: "CheckPhoto", name: str) -> str:
    """Where a photo's file lies under MEDIA_ROOT."""
    return f"checks/{name}"


class CheckPhoto(models.Model):
    """A photo of a check, written anew by web.photos: two JPEG files without any metadata, served to the group only.

    The position is there only where an organizer chose to keep it.
    """

    check_of = models.ForeignKey(IdentificationCheck, on_delete=models.CASCADE, related_name="photos")
    code = models.CharField(max_length=32, unique=True, default=new_photo_code, editable=False)
    picture = models.FileField(upload_to=photo_path)
    thumbnail = models.FileField(upload_to=photo_path)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, editable=False)  # SHA-256 of the picture: sent twice, it is kept once
    latitude = models.DecimalField(
        _("latitude"),
        max_digits=8,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-LATITUDE_MAX), MaxValueValidator(LATITUDE_MAX)],
    )
    longitude = models.DecimalField(
        _("longitude"),
        max_digits=9,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-LONGITUDE_MAX), MaxValueValidator(LONGITUDE_MAX)],
    )
    added_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField()

    objects: ClassVar[models.Manager["CheckPhoto"]] = models.Manager()

    class Meta:
        verbose_name = _("photo of a check")
        verbose_name_plural = _("photos of checks")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["check_of", "digest"], name="stands_photo_once"),
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__isnull=False, longitude__isnull=False),
                name="stands_photo_position_whole",
            ),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def coordinates(self) -> str:
        """Latitude and longitude in degrees, empty where none is kept."""
        return "" if self.latitude is None else f"{self.latitude:.6f}, {self.longitude:.6f}"
