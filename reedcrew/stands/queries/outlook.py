"""What is still to do at a stand, and when it should be gone."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.stands.queries.depths import ZoneDepth, depths_today
from reedcrew.stands.queries.stems import Standing as ZoneStems
from reedcrew.stands.queries.stems import StandStems, SurveyTotal, stand_stems, survey_totals
from reedcrew.stands.work_records import WorkRecord, latest_records, records_around
from reedcrew.trade import decline as trade
from reedcrew.trade.effort import (
    DAY_HOURS_MAX,
    STARTING_CREW,
    Crew,
    CrewDay,
    DayRecord,
    Rates,
    Standing,
    WorkLeft,
    learned_rate,
    usual_crew,
    work_left,
)
from reedcrew.trade.effort.spans import Span, total
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

CREW_DAYS = 10  # closed days whose middle crew is the usual one (convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """The work left at a stand for its usual crew, and its decline. ``cut_since``: stems cut since the survey.

    ``partial_surveys`` of the stand left out zones that it has now; the decline does not rest on them.
    """

    work: WorkLeft
    rates: Rates
    crew_reason: Reason
    stems: StandStems
    cut_since: int
    reasons: tuple[Reason, ...]
    decline: trade.Decline
    partial_surveys: int

    @property
    def methods(self) -> tuple[Reason, ...]:
        """Where stems, hours and the crew come from."""
        return (*self.reasons, self.crew_reason, reason("effort.hours_of_day"), reason("effort.stems_of_day"))

    @property
    def nothing_known(self) -> bool:
        """Neither quadrats nor an estimate by eye say that a stem stands."""
        return not self.stems.counted_zones and not self.stems.typed_stems


def rates_of(group: Group, policy: Policy) -> Rates:
    """The group's work rates, learned from its latest closed days. The number of queries does not grow with them."""
    return rates_from(latest_records(group), policy)


def rates_from(records: Sequence[WorkRecord], policy: Policy) -> Rates:
    """Work rates from closed days; a side without a tally on a day teaches nothing. No query."""
    water = [each.in_water for each in records if each.in_water.tallied]
    land = [each.on_land for each in records if each.on_land.tallied]
    return Rates(
        in_water=learned_rate(
            [DayRecord(stems=side.stems, person_hours=side.person_hours) for side in water],
            policy.water_stems_per_hour,
        ),
        on_land=learned_rate(
            [DayRecord(stems=side.stems, person_hours=side.person_hours) for side in land],
            policy.land_stems_per_hour,
        ),
    )


def outlook(
    stand: Stand,
    policy: Policy,
    at: datetime.datetime,
    *,
    depths: Sequence[ZoneDepth] | None = None,
    stems: StandStems | None = None,
    crew: Crew | None = None,
    records: Sequence[WorkRecord] | None = None,
    surveys: Sequence[SurveyTotal] | None = None,
) -> Outlook:
    """The outlook of a stand at a moment, for its usual crew or for the one given.

    ``depths`` and ``stems`` of the zones, ``records`` and ``surveys`` of the stand are read where they are not given.
    The stand comes with its site and group. The number of queries does not grow with zones, surveys or days.
    """
    today = at.astimezone(stand.site.zone_info).date()
    known = depths_today(stand, at) if depths is None else depths
    own, of_group = records_around(stand) if records is None else (records, latest_records(stand.site.group))
    standing = stand_stems([each.zone for each in known]) if stems is None else stems
    cut = _cut_since(standing.zones, own, today)
    asked, crew_reason = (crew, reason("effort.crew_asked")) if crew else _usual(own, of_group)
    rates = rates_from(of_group, policy)
    totals = survey_totals(stand) if surveys is None else surveys
    whole = [each for each in totals if each.whole_stand and each.total is not None]
    return Outlook(
        work=work_left(_sides(known, standing, cut), rates, asked),
        rates=rates,
        crew_reason=crew_reason,
        stems=standing,
        cut_since=sum(cut.values()),
        reasons=_standing_reasons(standing, cut, today),
        decline=trade.decline(
            [
                trade.SurveyTotal(
                    on=each.survey.surveyed_on, stems=each.total.estimate.value, se=each.total.estimate.se
                )
                for each in whole
                if each.total is not None
            ],
            policy,
            first_cut_year=stand.first_cut_year,
            in_water=any(each.depth_cm > 0 for each in known),
            on_land=any(each.depth_cm == 0 for each in known),
        ),
        partial_surveys=len(totals) - len(whole),
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _surveyed_on(zone: ZoneStems) -> datetime.date:
    return zone.survey.surveyed_on if zone.survey else zone.zone.surveyed_on


def _cut_since(zones: Sequence[ZoneStems], records: Sequence[WorkRecord], today: datetime.date) -> dict[int, int]:
    """Stems cut in each zone since its survey, as far as in this year: what was cut before has grown back or not."""
    year = datetime.date(today.year, 1, 1)
    since = {each.zone.pk: max(_surveyed_on(each), year) for each in zones}
    found = dict.fromkeys(since, 0)
    for record in records:
        for each in record.cut:
            if each.zone_id in since and record.date >= since[each.zone_id]:
                found[each.zone_id] += each.stems
    return found


def _sides(depths: Sequence[ZoneDepth], stems: StandStems, cut: Mapping[int, int]) -> list[Standing]:
    in_water = {each.zone.pk: each.depth_cm > 0 for each in depths}
    sides = []
    for side in (True, False):
        zones = [each for each in stems.zones if in_water[each.zone.pk] is side]
        if not zones:
            continue
        left = total([_left(each, cut[each.zone.pk]) for each in zones])
        sides.append(
            Standing(
                in_water=side,
                stems=round(left.value),
                low=min(round(left.value), int(left.low)),
                high=max(round(left.value), round(left.high)),
                partly=any(each.low is None and each.stems for each in zones),
            )
        )
    return sides


def _left(zone: ZoneStems, cut: int) -> Span:
    low = zone.stems if zone.low is None else zone.low
    high = zone.stems if zone.high is None else zone.high
    return Span(value=max(0, zone.stems - cut), low=max(0, low - cut), high=max(0, high - cut))


def _usual(own: Sequence[WorkRecord], of_group: Sequence[WorkRecord]) -> tuple[Crew, Reason]:
    for records, code in ((own, "effort.crew_usual"), (of_group, "effort.crew_of_group")):
        days = [_crew_day(each) for each in records[-CREW_DAYS:]]
        if crew := usual_crew(days):
            return crew, reason(code, days=len(days))
    return STARTING_CREW, reason("effort.crew_start")


def _crew_day(record: WorkRecord) -> CrewDay:
    people = record.in_water.people + record.on_land.people
    hours = record.in_water.person_hours + record.on_land.person_hours
    return CrewDay(
        in_water=record.in_water.people, on_land=record.on_land.people, person_hours=min(hours, people * DAY_HOURS_MAX)
    )


def _standing_reasons(stems: StandStems, cut: Mapping[int, int], today: datetime.date) -> tuple[Reason, ...]:
    found = [reason("effort.cut_since", stems=sum(cut.values()))] if any(cut.values()) else []
    days = [_surveyed_on(each) for each in stems.zones if each.stems]
    if days and min(days).year < today.year:
        found.append(reason("effort.old_survey", on=min(days)))
    return tuple(found)
