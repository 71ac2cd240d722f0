"""Gear that asks for hands: to clean, to dry, to return or to get back."""

import datetime
from collections.abc import Iterator, Sequence

from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.roles import Deed
from reedcrew.stock.queries import gear_due
from reedcrew.trade.attention import Matter


def gear(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """For those who keep the stock. The number of queries does not grow with groups, pieces or loans."""
    groups = groups_of(members, Deed.KEEP_STOCK)
    for due in gear_due(groups, now.date()) if groups else ():
        if due.to_clean or due.to_dry:
            yield Need(
                matter=Matter.CARE,
                group=due.group,
                words=_("Pieces to clean: %(clean)d; to dry: %(dry)d. Until then they are in no stock.")
                % {"clean": due.to_clean, "dry": due.to_dry},
                step=_("Clean and dry"),
                url=reverse("stock:care", args=[due.group.slug]),
            )
        for each in due.loans:
            yield Need(
                matter=Matter.LOAN,
                group=due.group,
                about=each.loan.party,
                words=_("%(direction)s: to be returned.") % {"direction": each.loan.get_direction_display()},
                step=_("Open the loan"),
                url=each.loan.get_absolute_url(),
                by=each.loan.due_on,
            )
