"""What was agreed about gear: loans with a day of return, and sets that are booked for a person on a day."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group, Member
from reedcrew.stock.models.gear import GearSet
from reedcrew.stock.models.ledger import Occasion


class Loan(models.Model):
    """Gear that one group lends to another until a day. What of it is still open, its movements say."""

    class Direction(models.TextChoices):
        BORROWED = "borrowed", _("we borrow")
        LENT = "lent", _("we lend")

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="gear_loans")
    direction = models.CharField(_("who lends"), max_length=8, choices=Direction.choices)
    party = models.CharField(_("the other group"), max_length=80)
    due_on = models.DateField(_("to be returned on"))
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    objects: ClassVar[models.Manager["Loan"]] = models.Manager()

    class Meta:
        verbose_name = _("loan")
        verbose_name_plural = _("loans")
        ordering = ["due_on", "pk"]

    def __str__(self) -> str:
        return self.party

    def get_absolute_url(self) -> str:
        return reverse("stock:loans", args=[self.group.slug])


class Booking(models.Model):
    """A set that is promised to a person for a day. It stays where it is: a promise is no movement.

    Days that overlap are never promised the same set. A booking that no longer stands keeps who ended it.
    """

    occasion = models.ForeignKey(Occasion, on_delete=models.PROTECT, related_name="bookings")
    gear_set = models.ForeignKey(GearSet, on_delete=models.PROTECT, related_name="bookings")
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="gear_bookings")
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()
    ended_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["Booking"]] = models.Manager()

    class Meta:
        verbose_name = _("booking")
        verbose_name_plural = _("bookings")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["occasion", "gear_set"], condition=Q(ended_at=None), name="stock_booked_once_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.gear_set_id} for {self.member_id}"
