"""Asking the planner for a day on which some pins may have become impossible."""

from dataclasses import replace

from reedcrew.trade import pairing
from reedcrew.trade.day import Day
from reedcrew.trade.pins import PinRefusal, PinsRefused
from reedcrew.trade.plan import Plan


def plan_as_pinned(question: Day, *, remedies: bool = True) -> tuple[Plan, tuple[PinRefusal, ...]]:
    """The plan with as many of the pins as the hard rules allow, and those that are left aside.

    ``remedies`` is for plans that are shown; what is only compared needs none.
    """
    aside: list[PinRefusal] = []
    while True:
        try:
            return pairing.plan_day(question, remedies=remedies), tuple(aside)
        except PinsRefused as refused:
            aside.extend(refused.refusals)
            gone = {place for refusal in refused.refusals for place in refusal.places}
            kept = tuple(pin for place, pin in enumerate(question.pins) if place not in gone)
            question = replace(question, pins=kept)
