"""The steps of places and plants on the way to a group's first day: site, stand, zone, check, decision."""

import datetime
from collections.abc import Iterator

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.first_steps import Step
from reedcrew.people.models import Group
from reedcrew.stands.models import Site, Stand
from reedcrew.trade.identification import Identification


def ground_steps(group: Group, now: datetime.datetime) -> Iterator[Step]:
    """The five steps, each leading to the first place that lacks it. Two queries."""
    site = Site.objects.of_group(group).order_by("pk").first()
    stands = list(
        Stand.objects.of_group(group)
        .order_by("pk")
        .annotate(zones_recorded=Count("zones", distinct=True), checks_recorded=Count("checks", distinct=True))
        .values_list("pk", "zones_recorded", "checks_recorded", "identification")
    )
    first = stands[0][0] if stands else None
    bare = next((pk for pk, zones, _checks, _result in stands if not zones), first)
    unchecked = next((pk for pk, _zones, checks, _result in stands if not checks), first)
    confirmed = [pk for pk, _zones, _checks, result in stands if Identification(result).may_be_cut]
    undecided = next((pk for pk, _zones, checks, _result in stands if checks and pk not in confirmed), None)

    def at(name: str, *args: int) -> str:
        return reverse(f"stands:{name}", args=[group.slug, *args])

    yield Step(
        label=_("Record the site where you meet"),
        why=_("People find the way by it, and so does an ambulance."),
        is_done=site is not None,
        url=at("record_site"),
    )
    yield Step(
        label=_("Record the stand of reed"),
        why=_("A stand is followed over the years until it is gone."),
        is_done=first is not None,
        url=at("record_stand", site.pk) if site else "",
    )
    yield Step(
        label=_("Record its zones"),
        why=_("Depth and current decide who may enter, with which tool and gear."),
        is_done=bool(stands) and all(zones for _pk, zones, _checks, _result in stands),
        url=at("record_zone", bare) if bare else "",
    )
    yield Step(
        label=_("Check which reed it is"),
        why=_("The native reed is protected and looks much like the introduced one."),
        is_done=any(checks for _pk, _zones, checks, _result in stands),
        url=at("record_check", unchecked) if unchecked else "",
    )
    yield Step(
        label=_("Decide which reed it is"),
        why=_("Only a stand that an organizer confirmed as the introduced subspecies opens for work days."),
        is_done=bool(confirmed),
        url=at("decide_identification", undecided) if undecided else "",
    )
