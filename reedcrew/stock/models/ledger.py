"""The one ledger of the stock: every movement takes pieces from one place to another, and nothing is undone.

How many are in a place is what came in less what went out. A known set is one piece, so it is in exactly one place.
"""

import functools
import operator
from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group, Member


class Place(models.TextChoices):
    """Where pieces are, or in which state: the two are one in a ledger."""

    OUTSIDE = "outside", _("not with the group")
    SHELF = "shelf", _("in stock")
    ISSUED = "issued", _("handed out")
    USED = "used", _("back, to clean and dry")
    AIRED = "aired", _("dry, not cleaned")
    WASHED = "washed", _("cleaned, to dry")
    REPAIR = "repair", _("needs repair")
    LENT = "lent", _("lent to others")
    LOST = "lost", _("lost")
    RETIRED = "retired", _("retired")


IN_HOUSE = (Place.SHELF, Place.USED, Place.AIRED, Place.WASHED, Place.REPAIR)


class Kind(models.TextChoices):
    """Why pieces moved."""

    RECEIVED = "received", _("received")
    BORROWED = "borrowed", _("borrowed")
    LABELLED = "labelled", _("given a label")
    ISSUED = "issued", _("handed out")
    RETURNED = "returned", _("returned")
    DAMAGED = "damaged", _("found damaged")
    REPAIRED = "repaired", _("repaired")
    CLEANED = "cleaned", _("cleaned")
    DRIED = "dried", _("dried")
    LENT = "lent", _("lent to others")
    CAME_BACK = "came back", _("came back from others")
    GIVEN_BACK = "given back", _("given back")
    USED_UP = "used up", _("used up")
    LOST = "lost", _("lost")
    FOUND = "found", _("found again")
    RETIRED = "retired", _("worn out, retired")
    RECOUNTED = "recounted", _("recounted")


# From where to where each kind leads. Cleaning makes wet, so that what was dry has to dry again; what was repaired is
# cleaned and dried before anybody gets it (conservative).
MOVES: Mapping[Kind, Mapping[Place, Place]] = MappingProxyType(
    {
        Kind.RECEIVED: {Place.OUTSIDE: Place.SHELF},
        Kind.BORROWED: {Place.OUTSIDE: Place.SHELF},
        Kind.LABELLED: {Place.SHELF: Place.OUTSIDE, Place.OUTSIDE: Place.SHELF},
        Kind.ISSUED: {Place.SHELF: Place.ISSUED, Place.AIRED: Place.ISSUED},
        Kind.RETURNED: {Place.ISSUED: Place.USED},
        Kind.DAMAGED: dict.fromkeys((Place.ISSUED, Place.SHELF, Place.USED, Place.AIRED, Place.WASHED), Place.REPAIR),
        Kind.REPAIRED: {Place.REPAIR: Place.USED},
        Kind.CLEANED: {Place.USED: Place.WASHED, Place.AIRED: Place.WASHED},
        Kind.DRIED: {Place.WASHED: Place.SHELF, Place.USED: Place.AIRED},
        Kind.LENT: {Place.SHELF: Place.LENT},
        Kind.CAME_BACK: {Place.LENT: Place.USED},
        Kind.GIVEN_BACK: dict.fromkeys(IN_HOUSE, Place.OUTSIDE),
        Kind.USED_UP: {Place.SHELF: Place.OUTSIDE},
        Kind.LOST: dict.fromkeys((Place.ISSUED, Place.LENT, *IN_HOUSE), Place.LOST),
        Kind.FOUND: {Place.LOST: Place.USED},
        Kind.RETIRED: dict.fromkeys(IN_HOUSE, Place.RETIRED),
        Kind.RECOUNTED: {Place.SHELF: Place.OUTSIDE, Place.OUTSIDE: Place.SHELF},
    }
)


class Occasion(models.Model):
    """A day on which gear goes out, as far as the stock knows it: the stock stands below the work days.

    ``key`` and ``site`` are the keys that the app of the days gives; that app keeps the times up to date.
    """

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="gear_occasions")
    key = models.PositiveBigIntegerField()
    site = models.PositiveBigIntegerField()
    title = models.CharField(max_length=80)
    address = models.CharField(max_length=200)  # of the day's page, on this site
    date = models.DateField()  # the site's
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    objects: ClassVar[models.Manager["Occasion"]] = models.Manager()

    class Meta:
        verbose_name = _("occasion")
        verbose_name_plural = _("occasions")
        ordering = ["starts_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["group", "key"], name="stock_occasion_once")]

    def __str__(self) -> str:
        return self.title


class Entry(models.Model):
    """One press of a button: who moved what when, and the form's token and words, by which a repeat is known."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="stock_entries")
    note = models.CharField(_("note"), max_length=160, blank=True)
    submission = models.UUIDField(null=True, editable=False)
    said = models.JSONField(default=dict, blank=True, editable=False)
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    objects: ClassVar[models.Manager["Entry"]] = models.Manager()

    class Meta:
        verbose_name = _("entry of the stock")
        verbose_name_plural = _("entries of the stock")
        ordering = ["-pk"]
        constraints = [models.UniqueConstraint(fields=["group", "submission"], name="stock_entry_once")]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M}"


class Movement(models.Model):
    """Pieces of a line, or one set, go from place to place. Append-only: a mistake is mended by another movement."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="movements")
    line = models.ForeignKey("stock.StockLine", on_delete=models.PROTECT, related_name="movements")
    gear_set = models.ForeignKey(
        "stock.GearSet", on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
    kind = models.CharField(_("what happened"), max_length=10, choices=Kind.choices)
    number = models.PositiveIntegerField(_("how many"))
    source = models.CharField(_("from"), max_length=7, choices=Place.choices)
    target = models.CharField(_("to"), max_length=7, choices=Place.choices)
    member = models.ForeignKey(Member, on_delete=models.PROTECT, null=True, blank=True, related_name="gear_movements")
    occasion = models.ForeignKey(
        Occasion, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )  # of a set also afterwards, until it is in stock: on which site it was used
    loan = models.ForeignKey("stock.Loan", on_delete=models.PROTECT, null=True, blank=True, related_name="movements")

    objects: ClassVar[models.Manager["Movement"]] = models.Manager()

    class Meta:
        verbose_name = _("movement")
        verbose_name_plural = _("movements")
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(number__gte=1), name="stock_movement_moves"),
            models.CheckConstraint(condition=~Q(source=F("target")), name="stock_movement_leads_elsewhere"),
            models.CheckConstraint(condition=Q(gear_set=None) | Q(number=1), name="stock_movement_of_one_set"),
            models.CheckConstraint(
                condition=functools.reduce(
                    operator.or_,
                    (
                        Q(kind=kind.value, source=source.value, target=target.value)
                        for kind, moves in MOVES.items()
                        for source, target in moves.items()
                    ),
                ),
                name="stock_movement_by_kind",
            ),
            models.CheckConstraint(
                condition=~Q(kind="issued") | Q(member__isnull=False, occasion__isnull=False),
                name="stock_issued_to_somebody",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=["borrowed", "given back", "lent", "came back"]) | Q(loan__isnull=False),
                name="stock_loan_is_named",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.source} → {self.target}"
