"""What crews show on start pages and on a day: a volunteer's own places, and for who plans how ready the day is."""

import datetime

from django.http import HttpRequest

from reedcrew.crews.inputs import weather_of
from reedcrew.crews.queries import own_places, own_places_on
from reedcrew.crews.readiness import readiness
from reedcrew.crews.weather.queries import daylight_of
from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.roles import Deed
from reedcrew.trade.weather import cautions
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.my_day import MyDay


def my_places(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The places of the reader and the reader's children in the plans of days to come, in every group."""
    places = own_places(request.user, now)  # type: ignore[arg-type]  # signed in
    return Panel(template="crews/_my_places.html", context={"places": places}) if places else None


def my_places_on_day(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> Panel | None:
    """The reader's own places on a day to come, with what to bring and what is lent."""
    if not day.is_open or day.has_ended(now):
        return None
    places = own_places_on(day, request.user)
    return Panel(template="crews/_my_places.html", context={"places": places, "of_day": True}) if places else None


def my_places_of_day(mine: MyDay) -> Panel | None:
    """Where the plan puts the people of a day's page, beside whom, and what they bring and are lent."""
    if not mine.ahead:
        return None
    places = own_places_on(mine.day, mine.account)
    return Panel(template="crews/_my_day.html", context={"places": places}) if places else None


def weather_of_day(mine: MyDay) -> Panel | None:
    """The forecast of a day to come, with what it warns of, and the light."""
    if not mine.ahead:
        return None
    day, told, light = mine.day, weather_of(mine.day), daylight_of(mine.day)
    context = {"day": day, "weather": told, "cautions": cautions(told), "sun": light.sun, "light": light.verdict}
    return Panel(template="crews/_my_weather.html", context=context)


def readiness_of_day(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> Panel | None:
    """Every line of a day's readiness, for who plans it."""
    if not request.member.may(Deed.PLAN_CREWS) or not day.is_open or day.has_ended(now):
        return None
    return Panel(template="crews/_readiness.html", context={"ready": readiness(day, now)})


def daylight_of_day(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> Panel:
    """Sunrise and sunset at the site, to everybody."""
    light = daylight_of(day)
    context = {"sun": light.sun, "light": light.verdict, "site": day.stand.site}
    return Panel(template="crews/_daylight.html", context=context)
