"""The briefing of one day: the same items for the page, for the phone and for the record of who heard them."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.models import Assignment
from reedcrew.crews.weather.queries import EFFORTS, Conditions, conditions
from reedcrew.trade.briefing import ADVICE, Item
from reedcrew.trade.plan import Role
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.work_rest import Effort
from reedcrew.web.amounts import amount_text
from reedcrew.web.sentences import said
from reedcrew.workdays.models import WorkDay

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

TITLES: "MappingProxyType[Item, StrOrPromise]" = MappingProxyType(
    {
        Item.HAZARDS: _("Hazards of this site"),
        Item.EMERGENCY: _("In an emergency: read this out"),
        Item.PEOPLE: _("Who helps and who watches"),
        Item.WEATHER: _("Weather and breaks"),
        Item.WATER: _("In the water"),
        Item.SIGNALS: _("Signals"),
        Item.BLADES: _("Blades"),
        Item.FOOTWEAR: _("Footwear"),
        Item.LIGHTNING: _("Lightning"),
        Item.DRINKING: _("Drinking water"),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefingItem:
    """One item in the reader's language: its key, its heading, the lines to say."""

    id: str
    title: str
    lines: Sequence[str]


def briefing_list(day: WorkDay, now: datetime.datetime) -> list[BriefingItem]:
    """Every item of the day, in order. The number of queries grows with nothing."""
    told = conditions(day, now)
    lines = {
        Item.HAZARDS: _hazards(day),
        Item.EMERGENCY: _emergency(day),
        Item.PEOPLE: _people(day),
        Item.WEATHER: _weather(told),
        Item.WATER: _water(told),
        Item.DRINKING: _drinking(told),
    }
    return [
        BriefingItem(id=item.value, title=str(TITLES[item]), lines=[*lines.get(item, ()), *_say(ADVICE.get(item, ()))])
        for item in Item
    ]


# --- Private ---------------------------------------------------------------------------------------------------------


def _say(reasons: Iterable[Reason]) -> list[str]:
    return [said(each) for each in reasons]


def _hazards(day: WorkDay) -> list[str]:
    written = [line.strip() for line in day.stand.site.hazards.splitlines() if line.strip()]
    return written or _say([reason("briefing.hazards_unknown")])


def _emergency(day: WorkDay) -> list[str]:
    site = day.stand.site
    return [
        gettext("Call the local emergency number first, then the crew lead."),
        gettext("Help comes to: %(entrance)s") % {"entrance": site.emergency_entrance},
        gettext("Position, latitude and longitude: %(position)s") % {"position": site.coordinates},
        gettext("Phone signal: %(signal)s") % {"signal": site.get_phone_signal_display()},
    ]


def _people(day: WorkDay) -> list[str]:
    """First-aider and spotters of the plan that counts, by name; H10 asks for both."""
    found: dict[str, list[str]] = {Role.FIRST_AIDER.value: [], Role.SPOTTER.value: []}
    named = Assignment.objects.in_force().filter(plan__day=day, role__in=list(found)).select_related("sign_up__member")
    for each in named.select_related("zone").order_by("sign_up__member__name", "pk"):
        who = each.sign_up.member.name
        if each.fallen:
            continue
        found[each.role].append(f"{who} ({each.zone.name})" if each.zone else who)
    certified = [
        each.member.name
        for each in day.sign_ups.expected().for_roster().order_by("member__name", "pk")
        if each.member.profile.first_aider_on(day.date)
    ]
    first_aiders = list(dict.fromkeys([*found[Role.FIRST_AIDER.value], *certified]))
    return [
        gettext("First aid: %(names)s") % {"names": ", ".join(first_aiders)}
        if first_aiders
        else _say([reason("briefing.no_first_aider")])[0],
        gettext("Spotter: %(names)s") % {"names": ", ".join(found[Role.SPOTTER.value])}
        if found[Role.SPOTTER.value]
        else _say([reason("briefing.no_spotter")])[0],
    ]


def _weather(told: Conditions) -> list[str]:
    lines = _say(told.cautions)
    for line in told.spells:
        heavy = next(spell for spell, effort in zip(line.spells, EFFORTS, strict=True) if effort is Effort.HEAVY)
        lines.append(
            gettext("Cutting, %(sky)s: %(rest)s") % {"sky": gettext(line.sky.value), "rest": _say([heavy.reason])[0]}
        )
    return lines


def _water(told: Conditions) -> list[str]:
    lines = []
    for zone in told.zones:
        if zone.open and not zone.depth_cm:
            lines.append(gettext("%(zone)s: dry ground") % {"zone": zone.zone})
            continue
        depth = gettext("%(zone)s: %(depth)s deep, current %(current)s") % {
            "zone": zone.zone,
            "depth": amount_text(zone.depth_cm, "cm"),
            "current": amount_text(zone.current_m_s, "m/s", 2),
        }
        lines.append(depth if zone.open else f"{depth}. {gettext('Closed: nobody enters.')}")
    return lines


def _drinking(told: Conditions) -> list[str]:
    each = amount_text(told.drinking.litres_per_person_hour, "L", 1)
    return [gettext("%(litres)s for each person and hour are brought along.") % {"litres": each}]
