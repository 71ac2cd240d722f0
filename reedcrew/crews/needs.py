"""What the days of the next weeks still lack, for those who plan them: as in ``readiness``, of many days at once."""

import datetime
from collections.abc import Collection, Iterator, Sequence

from django.db.models import prefetch_related_objects
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.crews.models import Assignment, Plan
from reedcrew.crews.readiness import spotters_of
from reedcrew.crews.records import Names, reasons_in_words
from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.policy import policy_of
from reedcrew.people.queries import with_emergency_contact
from reedcrew.people.roles import Deed
from reedcrew.people.water import missing_for_water
from reedcrew.trade.attention import URGENCY, Matter
from reedcrew.web.sentences import said_together, terms
from reedcrew.workdays.models import SignUp, WorkDay

AHEAD = datetime.timedelta(days=max(urgency.days_before or 0 for urgency in URGENCY.values()))
NAMES_SHOWN = 3


def days_ahead(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """What is missing for each day to come. The number of queries does not grow with days or rosters."""
    groups = groups_of(members, Deed.PLAN_CREWS)
    if not groups:
        return
    upcoming = WorkDay.objects.upcoming(now).filter(stand__site__group__in=groups, starts_at__lte=now + AHEAD)
    days = list(upcoming.with_stand().prefetch_related("zones"))
    prefetch_related_objects([day.group for day in days], "policy_changes")
    rosters: dict[int, list[SignUp]] = {day.pk: [] for day in days}
    for sign_up in SignUp.objects.expected().filter(day__in=days).for_roster().order_by("member__name"):
        rosters[sign_up.day_id].append(sign_up)
    plans = {plan.day_id: plan for plan in Plan.objects.in_force().filter(day__in=days)}
    assigned: dict[int, list[Assignment]] = {plan.pk: [] for plan in plans.values()}
    for each in Assignment.objects.filter(plan__in=assigned).select_related("sign_up"):
        assigned[each.plan_id].append(each)
    called = with_emergency_contact(sign_up.member_id for roster in rosters.values() for sign_up in roster)
    for day in days:
        plan, roster = plans.get(day.pk), rosters[day.pk]
        yield from _people(day, roster, called)
        yield from _plan(day, roster, plan, assigned[plan.pk] if plan else [])
        if day.forecast_temp_c is None:
            words = _("No forecast is entered, so heat, cold and drinking water are not judged.")
            yield _need(Matter.FORECAST, day, words, _("Enter the forecast"), "crews:weather")


# --- Private ---------------------------------------------------------------------------------------------------------


def _need(matter: Matter, day: WorkDay, words: str, step: str, page: str) -> Need:
    return Need(
        matter=matter,
        group=day.group,
        about=day.title,
        words=words,
        step=step,
        url=reverse(page, args=[day.group.slug, day.pk]),
        by=day.date,
        zone=day.zone_info,
    )


def _people(day: WorkDay, roster: Sequence[SignUp], called: Collection[int]) -> Iterator[Need]:
    profiles = [each.member.profile for each in roster]
    if day.water_places and not any(each.adult_on(day.date) and each.first_aider_on(day.date) for each in profiles):
        words = _("No adult with a valid first-aid certificate has a place, so nobody may work in water.")
        yield _need(Matter.FIRST_AIDER, day, words, _("Ask for a first-aider"), "workdays:roster")
    nobody = [each.member.name for each in roster if each.member_id not in called]
    if nobody:
        words = _("Nobody to call is known for: %(names)s.") % {"names": _names(nobody)}
        yield _need(Matter.CONTACTS, day, words, _("Ask them"), "workdays:roster")
    wading = [each.member for each in roster if each.place == SignUp.Place.WATER]
    unanswered = [member.name for member in wading if missing_for_water(member.profile, day.date)]
    if unanswered:
        words = _("These stay on shore until they have answered: %(names)s.") % {"names": _names(unanswered)}
        yield _need(Matter.ANSWERS, day, words, _("Ask them"), "workdays:roster")


def _plan(day: WorkDay, roster: Sequence[SignUp], plan: Plan | None, assigned: Sequence[Assignment]) -> Iterator[Need]:
    accept = _("Look at the plan and accept it")
    if roster and (plan is None or not plan.told):
        words = _("The plan is proposed and not accepted: nobody was told anything yet.")
        yield _need(Matter.PLAN_OPEN, day, words if plan else _("There is no plan yet."), accept, "crews:plan")
    if plan is None:
        return
    if any(each.fallen for each in assigned):
        words = _("What people were told does not stand any more.")
        yield _need(Matter.TOLD_FALLEN, day, words, accept, "crews:plan")
    names = Names(people={}, zones={str(zone.pk): zone.name for zone in day.zones.all()})
    for closed in plan.answer["closed_zones"]:
        of_water = [each for each in closed["reasons"] if not each["code"].startswith("H10")]  # those are of people
        if not of_water:
            continue
        why = said_together(reasons_in_words(of_water, names))
        words = _("%(zone)s is closed: %(why)s") % {"zone": names.zones.get(closed["zone"], closed["zone"]), "why": why}
        yield _need(Matter.ZONE_CLOSED, day, words, _("Look at the water"), "crews:plan")
    adults = {each.member_id for each in roster if each.member.profile.adult_on(day.date)}
    _units, _needed, short = spotters_of(assigned, adults, policy_of(day.group))
    if short:
        words = ngettext(
            "%(count)d person who watches from the shore is missing.",
            "%(count)d people who watch from the shore are missing.",
            short,
        )
        yield _need(Matter.SPOTTERS, day, words % {"count": short}, _("Plan anew, or ask more adults"), "crews:plan")
    lines = [line for line in plan.answer["gear"] if line["short"]]
    if lines:
        short_of = [terms(line["item"], line["size"]) for line in lines]
        words = _("Short of: %(names)s.") % {"names": _names(short_of)}
        yield _need(Matter.GEAR_SHORT, day, words, _("Open the gear list"), "crews:gear_list")


def _names(names: Sequence[str]) -> str:
    """The first names of a list, and how many there are besides."""
    shown = ", ".join(names[:NAMES_SHOWN])
    more = len(names) - NAMES_SHOWN
    if more <= 0:
        return shown
    return ngettext("%(names)s and %(count)d more", "%(names)s and %(count)d more", more) % {
        "names": shown,
        "count": more,
    }
