"""All that a phone needs to run a day without a network, and no more: no addresses, no contacts, no measures."""

import datetime
from typing import Any

from django.utils.translation import gettext

from reedcrew.crews.models import Assignment
from reedcrew.fieldbook.briefing_list import briefing_list
from reedcrew.fieldbook.phone_rules import water_facts
from reedcrew.fieldbook.sync.day_state import day_state
from reedcrew.people.models import Member
from reedcrew.people.policy import policy_of
from reedcrew.stands.queries import depths_today
from reedcrew.trade.method import method_for
from reedcrew.web import amounts
from reedcrew.workdays.models import SignUp, WorkDay

FORGET_AFTER = datetime.timedelta(days=1)  # after the end personal data leaves the phone (convention)


@amounts.shown(with_customary=False)  # a phone is passed around
def day_file(day: WorkDay, *, me: Member, now: datetime.datetime) -> dict[str, Any]:
    """The day as JSON. The number of queries does not grow with the roster."""
    site = day.stand.site
    chosen = set(day.zones.values_list("pk", flat=True))
    depths = [each for each in depths_today(day.stand, now) if each.zone.pk in chosen]
    assignments = list(
        Assignment.objects.in_force()
        .filter(plan__day=day)
        .select_related("sign_up", "zone")
        .order_by("unit_number", "pk")
    )
    return {
        "version": day.version,
        "server_at": now.astimezone(datetime.UTC).isoformat(),
        "forget_at": (day.ends_at + FORGET_AFTER).isoformat(),
        "me": {"account": me.account_id, "member": me.pk, "name": me.name},
        "day": {
            "title": day.title,
            "date": day.date.isoformat(),
            "starts_at": day.starts_at.isoformat(),
            "ends_at": day.ends_at.isoformat(),
            "status": day.status,
        },
        "site": {
            "name": site.name,
            "time_zone": site.time_zone,
            "meeting_place": site.meeting_place,
            "emergency_entrance": site.emergency_entrance,
            "latitude": str(site.latitude),
            "longitude": str(site.longitude),
            "hazards": site.hazards,
        },
        "zones": [
            {
                "id": each.zone.pk,
                "name": each.zone.name,
                "depth_cm": each.depth_cm,
                "water": each.depth_cm > 0,
                "method": gettext(str(method_for(each.depth_cm).method.value)),
            }
            for each in depths
        ],
        "units": _units(assignments),
        "roster": _roster(day, assignments, now),
        "briefing": [
            {"id": item.id, "title": item.title, "lines": list(item.lines)} for item in briefing_list(day, now)
        ],
        "headcount_minutes": policy_of(day.group).headcount_minutes,
        "water_days_min": policy_of(day.group).water_days_min,
        "state": day_state(day),
    }


# --- Private ---------------------------------------------------------------------------------------------------------


def _units(assignments: list[Assignment]) -> list[dict[str, Any]]:
    units: dict[tuple[int | None, int | None], list[int]] = {}
    for each in assignments:
        if each.kind == Assignment.Kind.UNIT and not each.fallen:
            units.setdefault((each.unit_number, each.zone_id), []).append(each.sign_up.member_id)
    return [{"number": number, "zone": zone, "members": members} for (number, zone), members in units.items()]


def _roster(day: WorkDay, assignments: list[Assignment], now: datetime.datetime) -> list[dict[str, Any]]:
    given = {each.sign_up_id: each for each in assignments}
    facts = water_facts(day, now)
    sign_ups = day.sign_ups.active().select_related("member__profile").order_by("member__name", "member_id")
    return [
        {
            "member": each.member_id,
            "name": each.member.name,
            "adult": each.member.profile.adult_on(day.date),
            "guardian": each.member.guardian_id,
            "place_state": "confirmed" if each.state == SignUp.State.CONFIRMED else "waiting",
            "facts": facts.get(each.member_id),
            **_given(given.get(each.pk)),
        }
        for each in sign_ups
    ]


def _given(assignment: Assignment | None) -> dict[str, Any]:
    """What the plan that counts gives somebody: water or land, unit, zone, role, gear."""
    if assignment is None:
        return {"in_water": False, "unit": None, "zone": None, "task": "", "gear": ""}
    in_unit = assignment.kind == Assignment.Kind.UNIT
    pieces = [
        f"{gettext(piece['item'])} {gettext(piece['size']) if piece['size'] else ''}" for piece in assignment.gear
    ]
    return {
        "in_water": in_unit and not assignment.fallen,
        "unit": assignment.unit_number,
        "zone": assignment.zone_id,
        "task": "" if in_unit else str(assignment.get_role_display() or assignment.get_kind_display()),
        "gear": ", ".join(piece.strip() for piece in pieces),
    }
