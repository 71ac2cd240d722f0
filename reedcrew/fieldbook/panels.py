"""What the fieldbook shows on start pages and on a day's first page."""

import datetime

from django.http import HttpRequest

from reedcrew.fieldbook import queries
from reedcrew.fieldbook.hours import OPENS_BEFORE
from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands.queries import depths_today, outlook
from reedcrew.trade.effort import DAY_HOURS_MAX, Crew
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.queries import next_days_of

LATELY = datetime.timedelta(days=14)  # an incident stands on the start page so long (convention)
HOUR = datetime.timedelta(hours=1)


def work_of_day(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> Panel | None:
    """What the confirmed people can cut of the day's zones, and with how many people they would be finished.

    For those who run the day, until it ends. The number of queries does not grow with the roster or the records.
    """
    if not day.is_open or day.has_ended(now) or not request.member.may(Deed.RUN_DAY):
        return None
    zones = {zone.pk for zone in day.zones.all()}
    confirmed = list(day.sign_ups.confirmed().values_list("place", flat=True))
    crew = Crew(
        in_water=confirmed.count(SignUp.Place.WATER),
        on_land=confirmed.count(SignUp.Place.LAND),
        hours=min((day.ends_at - day.starts_at) / HOUR, DAY_HOURS_MAX),
    )
    found = outlook(
        day.stand,
        policy_of(day.group),
        now,
        depths=[each for each in depths_today(day.stand, now) if each.zone.pk in zones],
        crew=crew,
    )
    return None if found.nothing_known else Panel(template="fieldbook/_work_of_day.html", context={"outlook": found})


def my_code(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The way to one's own sign-in code, from the hours before a day on."""
    soon = next_days_of(request.user, now).filter(day__starts_at__lte=now + OPENS_BEFORE)  # type: ignore[arg-type]  # signed in
    groups = {each.day.group.pk: each.day.group for each in soon.confirmed()}
    return Panel(template="fieldbook/_my_code.html", context={"groups": list(groups.values())}) if groups else None


def bags_in_sun(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """What lies in the sun and what of it is due, for those who run days."""
    reader: GroupRequest = request  # type: ignore[assignment]  # group pages only
    if not reader.member.may(Deed.RUN_DAY):
        return None
    bags = queries.bags_in_sun(reader.group, now)
    due = sum(each.load.count for each in bags if each.due)
    context = {"bags": bags, "due": due, "group": reader.group}
    return Panel(template="fieldbook/_bags_in_sun.html", context=context) if bags else None


def incidents_of_group(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The way to the incidents of the last days, for organizers."""
    reader: GroupRequest = request  # type: ignore[assignment]  # group pages only
    if not reader.member.may(Deed.READ_INCIDENTS):
        return None
    number = queries.incidents_of_group(reader.group).filter(entered_at__gt=now - LATELY).count()
    context = {"number": number, "group": reader.group}
    return Panel(template="fieldbook/_incidents.html", context=context) if number else None
