"""What work days do when something happens to the people or the sites of the group."""

import datetime
from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Site, Stand
from reedcrew.trade.moves import ZoneState
from reedcrew.trade.season import SeasonRules
from reedcrew.workdays import marks, newcomers, services
from reedcrew.workdays.models import SignUp


def on_signed_in(sender: object, *, request: HttpRequest | None, user: Account, **said: Any) -> None:
    """Whoever filled in a sign-up before signing in has it now."""
    if request is not None:
        newcomers.finish(request, user, timezone.now())


def on_member_left(sender: object, *, member: Member, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Somebody who leaves gives up the places on the days to come."""
    for sign_up in SignUp.objects.active().coming(now).filter(member=member):
        services.withdraw(sign_up=sign_up, actor=actor, now=now)


def on_site_changed(sender: object, *, site: Site, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Days to come follow their site."""
    services.follow_site(site=site, actor=actor, now=now)


def on_zone_changed(
    sender: object,
    *,
    stand: Stand,
    now: datetime.datetime,
    before: Mapping[int, ZoneState] | None = None,
    after: Mapping[int, ZoneState] | None = None,
    **said: Any,
) -> None:
    """Days to come on zones whose method, gear or openness changed are marked for planning again."""
    if before is not None and after is not None:
        marks.mark_moved_zones(stand=stand, before=before, after=after, now=now)


def on_season_changed(
    sender: object, *, site: Site, now: datetime.datetime, before: SeasonRules, after: SeasonRules, **said: Any
) -> None:
    """Days to come that the site's calendar now closes are marked."""
    marks.mark_season(site=site, before=before, after=after, now=now)
