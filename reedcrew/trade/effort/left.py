"""How much work stands: person-hours and crew-days left, what one day can finish, with how many people."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.effort.rates import Rates, WorkRate, prior_rate
from reedcrew.trade.effort.spans import NOTHING, Span, quotient, total
from reedcrew.trade.errors import Faults
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

DAY_HOURS_MAX = 24
PEOPLE_MAX = 1_000
UNIT_OF = 2  # nobody works in water alone (design, H1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Stems that stand on one side, with the limits of their interval where one may be claimed, else None.

    ``partly``: some of the stems come without an interval, so that the limits are too narrow.
    """

    in_water: bool
    stems: int
    low: int | None = None
    high: int | None = None
    partly: bool = False

    @property
    def span(self) -> Span:
        low = self.stems if self.low is None else self.low
        return Span(value=self.stems, low=low, high=self.stems if self.high is None else self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewDay:
    """Who cut on one closed day, in water and on land, and the hours that they were there, all added up."""

    in_water: int
    on_land: int
    person_hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """A crew for one day: people who cut in water and on land, and the hours of each."""

    in_water: int
    on_land: int
    hours: float

    def people(self, in_water: bool) -> int:
        return self.in_water if in_water else self.on_land


STARTING_CREW = Crew(in_water=6, on_land=4, hours=4.0)  # until a group has closed a day (convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideLeft:
    """The work left in water or on land. ``crew_days`` is None where nobody of the crew cuts on this side.

    ``people`` would finish it in one day of the crew's hours; in water an even number, because nobody is alone there.
    """

    in_water: bool
    standing: Standing
    rate: WorkRate
    person_hours: Span
    crew_days: Span | None
    share_of_day: Span
    people: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkLeft:
    """The work left at a stand. ``crew_days`` is that of the longer side, None where a side has nobody to cut it.

    ``share_of_day`` of the standing stems (0 to 1) is what one day of the crew can cut; ``people`` would finish in one.
    """

    crew: Crew
    sides: tuple[SideLeft, ...]
    stems: Span
    person_hours: Span
    crew_days: Span | None
    share_of_day: Span
    people: Span
    reasons: tuple[Reason, ...]


def usual_crew(days: Sequence[CrewDay]) -> Crew | None:
    """The middle crew of some closed days: medians of people in water, people on land and hours a person.

    None where nobody's hours are known. Half people are rounded up.
    """
    known = [day for day in days if day.person_hours > 0 and day.in_water + day.on_land > 0]
    if not known:
        return None
    return Crew(
        in_water=math.ceil(statistics.median(day.in_water for day in known)),
        on_land=math.ceil(statistics.median(day.on_land for day in known)),
        hours=statistics.median(day.person_hours / (day.in_water + day.on_land) for day in known),
    )


def work_left(standing: Sequence[Standing], rates: Rates, crew: Crew) -> WorkLeft:
    """Person-hours and crew-days that standing stems take, and what one day of the crew can finish.

    Person-hours of a side = stems ÷ stems per person-hour; limits of both are combined on the log scale, those of the
    sides added in quadrature (``spans``). Sides are worked at the same time, so crew-days are those of the longer side.
    Limits of the share are taken with both sides at their limits together, which is the wider way.

    Raises UnusableInput, naming every faulty field: negative stems or limits that do not hold them, a crew without
    hours or with a negative number of people, more than one entry for a side.
    """
    _check(standing, crew)
    sides = tuple(_side(each, rates.in_water if each.in_water else rates.on_land, crew) for each in standing)
    stems = total([side.standing.span for side in sides])
    no_crew = [side for side in sides if side.crew_days is None]
    days = [side.crew_days for side in sides if side.crew_days is not None]
    reasons = [reason("effort.left", water=crew.in_water, land=crew.on_land, hours=round(crew.hours, 1))]
    reasons += [reason("effort.no_crew_in_water" if side.in_water else "effort.no_crew_on_land") for side in no_crew]
    if any(side.standing.partly or (side.standing.low is None and side.standing.stems) for side in sides):
        reasons.append(reason("effort.stems_without_interval"))
    return WorkLeft(
        crew=crew,
        sides=sides,
        stems=stems,
        person_hours=total([side.person_hours for side in sides]),
        crew_days=None if no_crew else _longest(days),
        share_of_day=_share(sides, stems.value),
        people=Span(
            value=sum(side.people.value for side in sides),
            low=sum(side.people.low for side in sides),
            high=sum(side.people.high for side in sides),
        ),
        reasons=tuple(reasons),
    )


def expected_stems(
    stems_standing: int, people: int, hours: float, depth_cm: float, policy: Policy, rates: Rates | None = None
) -> int:
    """Stems that a crew may cut in a zone in a day: what stands there, at most people × hours × the group's rate.

    The rate is the one learned, where ``rates`` gives it, or else the group's starting value. Rounded up. Raises
    UnusableInput for a negative number.
    """
    faults = Faults()
    faults.range("stems_standing", stems_standing, 0, STEMS_MAX)
    faults.unless(people >= 0, "people", f"must be 0 or more, not {people}")
    faults.range("hours", hours, 0, DAY_HOURS_MAX, "h")
    faults.raise_any()
    rate = prior_rate(depth_cm, policy) if rates is None else rates.at(depth_cm).stems_per_hour
    return min(stems_standing, math.ceil(people * hours * rate))


# --- Private ---------------------------------------------------------------------------------------------------------


def _check(standing: Sequence[Standing], crew: Crew) -> None:
    faults = Faults()
    for number, each in enumerate(standing):
        faults.unless(each.stems >= 0, f"standing[{number}].stems", f"must be 0 or more, not {each.stems}")
        if each.low is not None or each.high is not None:
            holds = each.low is not None and each.high is not None and 0 <= each.low <= each.stems <= each.high
            faults.unless(holds, f"standing[{number}].low", "must with the high limit hold the stems")
    faults.unless(len({each.in_water for each in standing}) == len(standing), "standing", "must have a side once")
    faults.range("crew.in_water", crew.in_water, 0, PEOPLE_MAX)
    faults.range("crew.on_land", crew.on_land, 0, PEOPLE_MAX)
    faults.unless(0 < crew.hours <= DAY_HOURS_MAX, "crew.hours", f"must be above 0 and at most {DAY_HOURS_MAX} h")
    faults.raise_any()


def _side(standing: Standing, rate: WorkRate, crew: Crew) -> SideLeft:
    hours = quotient(standing.span, rate.span)
    crew_hours = crew.people(standing.in_water) * crew.hours
    return SideLeft(
        in_water=standing.in_water,
        standing=standing,
        rate=rate,
        person_hours=hours,
        crew_days=(hours.times(1 / crew_hours) if crew_hours else NOTHING if hours.high == 0 else None),
        share_of_day=Span(
            value=_part(crew_hours, hours.value), low=_part(crew_hours, hours.high), high=_part(crew_hours, hours.low)
        ),
        people=Span(
            value=_people(hours.value, crew.hours, standing.in_water),
            low=_people(hours.low, crew.hours, standing.in_water),
            high=_people(hours.high, crew.hours, standing.in_water),
        ),
    )


def _part(crew_hours: float, hours: float) -> float:
    return min(1.0, crew_hours / hours) if hours > 0 else 1.0


def _people(person_hours: float, hours: float, in_water: bool) -> int:
    people = math.ceil(round(person_hours / hours, 9))
    return UNIT_OF * math.ceil(people / UNIT_OF) if in_water else people


def _longest(days: Sequence[Span]) -> Span:
    return Span(
        value=max((each.value for each in days), default=0),
        low=max((each.low for each in days), default=0),
        high=max((each.high for each in days), default=0),
    )


def _share(sides: Sequence[SideLeft], stems: float) -> Span:
    if stems == 0:
        return Span(value=1, low=1, high=1)

    def weighed(shares: Sequence[float]) -> float:
        return sum(share * side.standing.stems for share, side in zip(shares, sides, strict=True)) / stems

    return Span(
        value=weighed([side.share_of_day.value for side in sides]),
        low=weighed([side.share_of_day.low for side in sides]),
        high=weighed([side.share_of_day.high for side in sides]),
    )
