from typing import ClassVar, Self

from django.db import models
from django.db.models import Q, Sum
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group
from reedcrew.trade.items import Item


class StockLineQuerySet(models.QuerySet["StockLine"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def with_count(self) -> Self:
        """Adds ``on_hand``: the sum of the line's movements."""
        return self.annotate(on_hand=Coalesce(Sum("movements__change"), 0))


class StockLine(models.Model):
    """One kind and size of gear of a group. How many there are is the sum of its movements, never a typed number."""

    ITEMS = [(item.value, _(item.value)) for item in Item]

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="stock_lines")
    item = models.CharField(_("item"), max_length=20, choices=ITEMS)
    size = models.CharField(_("size"), max_length=12, blank=True)
    note = models.CharField(
        _("note"), max_length=160, blank=True, help_text=_("For example where it is kept or who lent it.")
    )

    objects: ClassVar[models.Manager["StockLine"]] = StockLineQuerySet.as_manager()

    class Meta:
        verbose_name = _("stock line")
        verbose_name_plural = _("stock lines")
        ordering = ["item", "size", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["group", "item", "size"],
                name="stock_line_once",
                violation_error_message=_("This item and size are in the stock already: record a movement instead."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_item_display()} {self.size}".strip()

    def get_absolute_url(self) -> str:
        return reverse("stock:line", args=[self.group.slug, self.pk])

    @property
    def kind(self) -> Item:
        return Item(self.item)


class Movement(models.Model):
    """Why a count changed. Append-only: a mistake is mended by another movement."""

    class Kind(models.TextChoices):
        RECEIVED = "received", _("received")
        LOST = "lost", _("lost")
        RETIRED = "retired", _("worn out or damaged")
        RECOUNTED = "recounted", _("recounted")

    line = models.ForeignKey(StockLine, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(_("what happened"), max_length=10, choices=Kind.choices)
    change = models.IntegerField(_("change"))
    note = models.CharField(_("note"), max_length=160, blank=True)
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    submission = models.UUIDField(null=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["Movement"]] = models.Manager()

    class Meta:
        verbose_name = _("movement")
        verbose_name_plural = _("movements")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(change=0), name="stock_movement_moves"),
            models.UniqueConstraint(fields=["line", "submission"], name="stock_movement_once"),
        ]

    def __str__(self) -> str:
        return f"{self.change:+d}"
