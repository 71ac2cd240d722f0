"""What work days do when something happens to the people or the sites of the group."""

import datetime
from typing import Any

from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Site
from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp


def on_member_left(sender: object, *, member: Member, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Somebody who leaves gives up the places on the days to come."""
    for sign_up in SignUp.objects.active().coming(now).filter(member=member):
        services.withdraw(sign_up=sign_up, actor=actor, now=now)


def on_site_changed(sender: object, *, site: Site, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Days to come follow their site."""
    services.follow_site(site=site, actor=actor, now=now)
