"""The step of gear on the way to a group's first day."""

import datetime
from collections.abc import Iterator

from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.first_steps import Step
from reedcrew.people.models import Group
from reedcrew.stock.models import StockLine


def stock_step(group: Group, now: datetime.datetime) -> Iterator[Step]:
    """Anything in stock: one query."""
    yield Step(
        label=_("Count the gear you have"),
        why=_("Nobody is planned into water without waders and a life jacket that fit. One page takes it all."),
        is_done=StockLine.objects.of_group(group).exists(),
        url=reverse("stock:first_count", args=[group.slug]),
    )
