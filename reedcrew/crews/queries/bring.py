"""Each volunteer's own list: what to bring, and what an accepted plan lends them."""

from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.crews.inputs import weather_of
from reedcrew.crews.models import Assignment
from reedcrew.crews.records import Record
from reedcrew.trade.clothing import clothes_for
from reedcrew.trade.day import Weather
from reedcrew.trade.plan import Source
from reedcrew.workdays.models import SignUp


@dataclass(frozen=True, slots=True, kw_only=True)
class BringList:
    """``own`` is gear they said they have, ``said`` what the organizer wrote, ``lent`` what the plan lends them."""

    own: Sequence[str]
    clothes: Sequence[str]
    said: str
    lent: Sequence[Record]


def bring_list(sign_up: SignUp, told: Assignment | None) -> BringList:
    """The list of a sign-up that comes with its day and its member's profile. No query.

    Lent is only what somebody was told of an accepted plan and what still stands.
    """
    day = sign_up.day
    weather = weather_of(day) or Weather()
    stands = told is not None and not told.fallen
    return BringList(
        own=sign_up.member.profile.own_gear,
        clothes=clothes_for(
            in_water=sign_up.place == SignUp.Place.WATER, temp_c=weather.temp_c, water_temp_c=weather.water_temp_c
        ),
        said=day.what_to_bring,
        lent=[piece for piece in told.gear if piece["from"] == Source.STOCK] if told is not None and stands else [],
    )
