"""What the stock shows on the first page of those who look after gear: what waits, and what is to be returned."""

import datetime

from django.http import HttpRequest

from reedcrew.people.home import Panel
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.stock.queries import gear_due


def my_gear(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """Gear to clean, to dry and to return in the groups whose stock the reader keeps."""
    mine = Member.objects.current().of_account(request.user).select_related("group")  # type: ignore[arg-type]  # signed in
    groups = [member.group for member in mine if member.may(Deed.KEEP_STOCK)]
    due = gear_due(groups, now.date()) if groups else []
    return Panel(template="stock/_my_gear.html", context={"due": due}) if due else None
