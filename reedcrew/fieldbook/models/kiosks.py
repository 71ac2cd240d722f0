"""Links for signing in on one phone that is passed around."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


class KioskLink(models.Model):
    """An address that signs people in without an account. Only its digest is kept: nobody can read it again."""

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="kiosk_links")
    digest = models.CharField(max_length=64, unique=True, editable=False)  # SHA-256 of the token in the address
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    revoked_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["KioskLink"]] = models.Manager()

    class Meta:
        verbose_name = _("sign-in link")
        verbose_name_plural = _("sign-in links")
        ordering = ["made_at", "pk"]

    def __str__(self) -> str:
        return f"sign-in link of day {self.day_id}"
