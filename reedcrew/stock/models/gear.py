"""What a group has: lines of one item and size, and the pieces among them that are known one by one."""

import secrets
from typing import ClassVar, Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import CODE_ALPHABET, Group
from reedcrew.trade.items import Item

CODE_LENGTH = 8


def new_set_code() -> str:
    """The code on a set's label: 8 signs that cannot be guessed and are not read for one another."""
    return "".join(secrets.choice(CODE_ALPHABET) for _i in range(CODE_LENGTH))


class StockLineQuerySet(models.QuerySet["StockLine"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)


class StockLine(models.Model):
    """One kind and size of gear of a group. How many there are is the sum of its movements, never a typed number."""

    ITEMS = [(item.value, _(item.value)) for item in Item]

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="stock_lines")
    item = models.CharField(_("item"), max_length=20, choices=ITEMS)
    size = models.CharField(_("size"), max_length=12, blank=True)
    note = models.CharField(_("note"), max_length=160, blank=True, help_text=_("For example where it is kept."))

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


class GearSetQuerySet(models.QuerySet["GearSet"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def for_page(self) -> Self:
        return self.select_related("line", "group", "loan")


class GearSet(models.Model):
    """One piece that is known by itself, such as a pair of chest waders, with a label. Where it is, its ledger says."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="gear_sets")
    line = models.ForeignKey(StockLine, on_delete=models.PROTECT, related_name="sets")
    number = models.PositiveIntegerField(_("number"))
    code = models.CharField(_("code"), max_length=CODE_LENGTH, default=new_set_code, editable=False)
    shelf = models.CharField(_("where it is kept"), max_length=80, blank=True, help_text=_("Crate, shelf or room."))
    note = models.CharField(_("note"), max_length=160, blank=True)
    loan = models.ForeignKey(
        "stock.Loan", on_delete=models.PROTECT, null=True, blank=True, related_name="sets", editable=False
    )
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each change of shelf and note

    objects: ClassVar[models.Manager["GearSet"]] = GearSetQuerySet.as_manager()

    class Meta:
        verbose_name = _("set")
        verbose_name_plural = _("sets")
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["group", "number"], name="stock_set_number_once"),
            models.UniqueConstraint(fields=["group", "code"], name="stock_set_code_once"),
        ]

    def __str__(self) -> str:
        return gettext("%(line)s no. %(number)d") % {"line": self.line, "number": self.number}

    def get_absolute_url(self) -> str:
        return reverse("stock:set", args=[self.group.slug, self.code])
