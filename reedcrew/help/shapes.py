"""What a page of help is made of."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.trade.month_day import MonthDay
from reedcrew.web.times import day_of_year_text

Text = str | Promise

COMMON_PRACTICE = _("Common practice, no source.")
CONVENTION = _("Convention of this project, no source.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A number that no group changes, read from the table of the trade that has it. ``places`` after the point.

    ``is_difference``: °C by which something is warmer.
    """

    label: Text
    amount: float | Decimal | MonthDay
    unit: Text = ""
    places: int = 0
    is_difference: bool = False

    @property
    def is_day(self) -> bool:
        return isinstance(self.amount, MonthDay)

    @property
    def day_text(self) -> str:
        """A day of any year, in words. Raises TypeError for an amount that is none."""
        if not isinstance(self.amount, MonthDay):
            raise TypeError(f"{self.amount} is no day of a year")
        return day_of_year_text(self.amount.month, self.amount.day)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows made from a table of the trade: ``headings`` name the columns, the first cell of a row names the row."""

    caption: Text
    headings: tuple[Text, ...]
    cells: tuple[tuple[Text, ...], ...]

    @property
    def rows(self) -> list[list[tuple[Text, Text]]]:
        """Each row as (heading, cell), so that a cell can say on a phone what it is."""
        return [list(zip(self.headings, row, strict=True)) for row in self.cells]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One rule.

    ``policy`` names values of trade.policy that a group may change; ``codes`` are those of reasons and refusals that
    lead here, each with all that begin with it and a point. ``source`` is named as the code of the trade names it,
    ``drawing`` as web.drawings does.
    """

    anchor: str
    title: Text
    says: Text
    why: Text
    source: tuple[Text, ...]
    codes: tuple[str, ...] = ()
    policy: tuple[str, ...] = ()
    values: tuple[Value, ...] = ()
    table: Callable[[], Table] | None = None
    drawing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """One page. ``cautions`` are kinds of web.cautions."""

    slug: str
    title: Text
    lead: Text
    icon: str
    sections: tuple[Section, ...]
    cautions: tuple[str, ...] = ()

    def get_absolute_url(self) -> str:
        return reverse("help:topic", args=[self.slug])
