"""What an organizer decides first: the one place that orders everything that waits for a decision.

All of it is (cp): common practice, no source. What may hurt somebody goes before what a day needs, that before people
who wait for a word, that before plants and gear, that before paper; but first of all goes what is due. What may hurt
somebody is a band ahead in this, so that no late paper hides a day of next week without a first-aider.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from types import MappingProxyType


class Matter(StrEnum):
    """What there is to decide about."""

    PROTECTED_STAND = "a posted day on a stand that may not be cut"
    ZONE_CLOSED = "a zone of a day that water rules close"
    FIRST_AIDER = "no first-aider on a day"
    SPOTTERS = "too few who watch from the shore"
    CONTACTS = "people of a day without an emergency contact"
    TOLD_FALLEN = "what people were told of a day does not stand"
    DAY_MOVED = "water or calendar moved under a day"
    GEAR_SHORT = "gear that a day is short of"
    PLAN_OPEN = "a plan that nobody accepted"
    FORECAST = "a day without a forecast"
    ANSWERS = "people who have not answered what water asks"
    MAIL_IN = "mail that came in"
    MAIL_REFUSED = "mail that does not arrive"
    IDENTIFICATION = "checks of a stand that wait for a decision"
    BAGS = "bags that had their time in the sun"
    CARE = "gear to clean or to dry"
    LOAN = "gear to return or to get back"
    SURVEY = "a stand without a survey this season"
    DAY_NOT_CLOSED = "a day that is over and not closed"
    REPORT = "a report to a funder"
    HOURS = "hours to approve"


class Weight(IntEnum):
    """What suffers if nobody decides, the worst first."""

    SAFETY = 1
    DAY = 2
    PEOPLE = 3
    GROUND = 4
    PAPER = 5


class Band(IntEnum):
    """How soon it is. NOW holds what is late too."""

    NOW = 1
    SOON = 2
    LATER = 3


NOW_WITHIN = datetime.timedelta(days=3)
SOON_WITHIN = datetime.timedelta(days=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Urgency:
    """What a matter weighs, how many days before its date it is shown (None: as soon as it is known), and how soon it
    is where it has no date."""

    weight: Weight
    days_before: int | None = None
    undated: Band = Band.SOON


URGENCY: Mapping[Matter, Urgency] = MappingProxyType(
    {
        Matter.PROTECTED_STAND: Urgency(weight=Weight.SAFETY, undated=Band.NOW),
        Matter.ZONE_CLOSED: Urgency(weight=Weight.SAFETY, days_before=21),
        Matter.FIRST_AIDER: Urgency(weight=Weight.SAFETY, days_before=28),
        Matter.SPOTTERS: Urgency(weight=Weight.SAFETY, days_before=14),
        Matter.CONTACTS: Urgency(weight=Weight.SAFETY, days_before=7),
        Matter.TOLD_FALLEN: Urgency(weight=Weight.SAFETY, days_before=14),
        Matter.DAY_MOVED: Urgency(weight=Weight.SAFETY),
        Matter.GEAR_SHORT: Urgency(weight=Weight.DAY, days_before=21),
        Matter.PLAN_OPEN: Urgency(weight=Weight.DAY, days_before=7),
        Matter.FORECAST: Urgency(weight=Weight.DAY, days_before=3),
        Matter.ANSWERS: Urgency(weight=Weight.PEOPLE, days_before=14),
        Matter.MAIL_IN: Urgency(weight=Weight.PEOPLE),
        Matter.MAIL_REFUSED: Urgency(weight=Weight.PEOPLE),
        Matter.IDENTIFICATION: Urgency(weight=Weight.GROUND),
        Matter.BAGS: Urgency(weight=Weight.GROUND),
        Matter.CARE: Urgency(weight=Weight.GROUND, days_before=14, undated=Band.LATER),
        Matter.LOAN: Urgency(weight=Weight.GROUND, days_before=7),
        Matter.SURVEY: Urgency(weight=Weight.GROUND, days_before=28, undated=Band.LATER),
        Matter.DAY_NOT_CLOSED: Urgency(weight=Weight.PAPER),
        Matter.REPORT: Urgency(weight=Weight.PAPER, days_before=30),
        Matter.HOURS: Urgency(weight=Weight.PAPER, undated=Band.LATER),
    }
)


def is_shown(matter: Matter, by: datetime.date | None, today: datetime.date) -> bool:
    """Whether it is time to decide; what is late stays shown."""
    days_before = URGENCY[matter].days_before
    return by is None or days_before is None or by - today <= datetime.timedelta(days=days_before)


def band(matter: Matter, by: datetime.date | None, today: datetime.date) -> Band:
    """How soon a decision is due."""
    if by is None:
        return URGENCY[matter].undated
    if by - today <= NOW_WITHIN:
        return Band.NOW
    return Band.SOON if by - today <= SOON_WITHIN else Band.LATER


def rank(matter: Matter, by: datetime.date | None, today: datetime.date) -> tuple[int, int, int, datetime.date, int]:
    """What lists are sorted by, the smallest first: how soon, a band earlier for what may hurt somebody; what suffers;
    the band itself, the date, the order of URGENCY.
    """
    soon, weight = band(matter, by, today), URGENCY[matter].weight
    return (
        max(Band.NOW, soon - 1) if weight is Weight.SAFETY else soon,
        weight,
        soon,
        by or datetime.date.max,
        list(URGENCY).index(matter),
    )
