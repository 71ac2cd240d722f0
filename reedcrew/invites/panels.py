"""What the mail shows on the first page: to a person, that mail to them does not arrive."""

import datetime
from typing import cast

from django.http import HttpRequest

from reedcrew.invites.addresses import is_marked
from reedcrew.people.home import Panel
from reedcrew.people.models import Account


def my_address(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """That mail to the reader's address does not arrive."""
    account = cast(Account, request.user)
    if not is_marked(account.email):
        return None
    return Panel(template="invites/_my_address.html", context={"address": account.email})
