"""The demo's next work day with its sign-ups, and a later one."""

import datetime
from collections.abc import Mapping
from random import Random

from reedcrew.demo import people
from reedcrew.demo.crowd import who_signs
from reedcrew.demo.dates import DAY, Season
from reedcrew.demo.history import party_of, place_of, sign_up_all
from reedcrew.demo.outings import post
from reedcrew.demo.places import BOATHOUSE, LANDING
from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Stand
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.services import DayFacts

NEXT_POSTED, SIGN_UPS_FOR = 21 * DAY, 20 * DAY
LATER_POSTED, LATER_SIGN_UPS = 5 * DAY, 4 * DAY
LATER_ADULTS = 9
PRACTICE = "A day of practice for the demo: nobody cuts anything."
WITHDRAWN = "Conrad Wexmoor"  # gives the place up again, so that the waiting list moves


def post_next(
    stands: Mapping[str, Stand],
    members: Mapping[str, Member],
    season: Season,
    organizer: Account,
    now: datetime.datetime,
) -> WorkDay:
    """Post the next day and sign up who is to come, in the table's order; all of it in the three weeks before now."""
    day = post(stands[LANDING], season.next_day, actor=organizer, now=now - NEXT_POSTED, with_forecast=True)
    wanted = {person.name: person.next for person in people.PEOPLE if person.next is not None}
    entries = [
        (member, wanted[member.name])
        for person in people.PEOPLE
        if not person.guardian
        for member in party_of(members[person.name], members)
        if member.name in wanted
    ]
    sign_up_all(day, entries, organizer, start=now - NEXT_POSTED, over=SIGN_UPS_FOR)
    leaving = members[WITHDRAWN]
    workdays.withdraw(
        sign_up=day.sign_ups.active().get(member=leaving),
        actor=who_signs(leaving, organizer),
        now=now - datetime.timedelta(hours=5),
    )
    return day


def post_later(
    stands: Mapping[str, Stand],
    members: Mapping[str, Member],
    season: Season,
    organizer: Account,
    now: datetime.datetime,
    rng: Random,
) -> WorkDay:
    """Post a later day, for which only a few have signed up yet."""
    day = post(stands[BOATHOUSE], season.later_day, actor=organizer, now=now - LATER_POSTED)
    adults = rng.sample([each for each in members.values() if each.guardian_id is None], LATER_ADULTS)
    entries = [(member, place_of(member, season.later_day)) for member in adults]
    sign_up_all(day, entries, organizer, start=now - LATER_POSTED, over=LATER_SIGN_UPS)
    return day


def start_soon(day: WorkDay, organizer: Account, now: datetime.datetime) -> WorkDay:
    """Move a day to the next full hour by its site's clock, as a day of practice where its weeks are over."""
    starts_at = now.replace(minute=0, second=0, microsecond=0) + datetime.timedelta(hours=1)
    facts = DayFacts(
        title=day.title,
        starts_at=starts_at,
        ends_at=starts_at + (day.ends_at - day.starts_at),
        zones=list(day.zones.all()),
        water_places=day.water_places,
        land_places=day.land_places,
        note=day.note,
        what_to_bring=day.what_to_bring,
        window_reason=PRACTICE,
        forecast_temp_c=day.forecast_temp_c,
        forecast_rh_percent=day.forecast_rh_percent,
        forecast_wind_km_h=day.forecast_wind_km_h,
        forecast_water_temp_c=day.forecast_water_temp_c,
    )
    return workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=now)
