"""Surveys: recording quadrats, and striking a wrong survey out."""

import datetime
import math
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import (
    NoGaugeThen,
    NoQuadrats,
    QuadratFault,
    QuadratsCoverMore,
    QuadratsRefused,
    SurveyInFuture,
    SurveyStruckAlready,
    TooManyQuadrats,
)
from reedcrew.stands.models import QUADRATS_MAX, Quadrat, Stand, Survey, Zone
from reedcrew.stands.queries import gauge_on
from reedcrew.stands.services.moves import zones_told
from reedcrew.stands.services.rows import locked
from reedcrew.stands.services.zones import measure_depth
from reedcrew.trade.sampling import GPS_TOLERANCE_M, metres_outside
from reedcrew.trade.water import depth_today


@dataclass(frozen=True, slots=True, kw_only=True)
class QuadratEntry:
    """One quadrat as it was entered. ``number`` tells it from the others of its zone."""

    zone: Zone
    number: int
    stems: int
    height_cm: int | None = None
    depth_cm: int | None = None
    seed_heads: int | None = None
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredDepth:
    """The greatest depth that a survey measured in a zone, and whether the zone took it."""

    zone: Zone
    depth_cm: int
    taken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """A survey that is recorded, and what became of the depths that it measured."""

    survey: Survey
    depths: tuple[MeasuredDepth, ...]


def ask_quadrats(quadrats: Sequence[QuadratEntry]) -> tuple[QuadratFault, ...]:
    """What is wrong with quadrats before anything is written, for the page and for record_survey; empty when nothing.

    A number twice in a zone, more seed heads than stems, half a position, a position outside the zone's outline by more
    than 10 m, which a phone's position may be off, water on dry ground.
    """
    found: list[QuadratFault] = []
    away = _metres_outside(quadrats)
    seen: set[tuple[int, int]] = set()

    def fault(index: int, field: str, sentence: str) -> None:
        entry = quadrats[index]
        where = gettext("Zone “%(zone)s”, quadrat %(number)s") % {"zone": entry.zone.name, "number": entry.number}
        found.append(QuadratFault(index=index, field=field, where=where, sentence=sentence))

    for index, entry in enumerate(quadrats):
        if (entry.zone.pk, entry.number) in seen:
            fault(index, "number", gettext("this number stands twice in the zone. Give each quadrat its own number."))
        seen.add((entry.zone.pk, entry.number))
        if entry.seed_heads is not None and entry.seed_heads > entry.stems:
            fault(
                index,
                "seed_heads",
                gettext("a stem carries one seed head at most, so write %(stems)s or less.") % {"stems": entry.stems},
            )
        if entry.depth_cm and entry.zone.bed == Zone.Bed.DRY:
            fault(
                index,
                "depth_cm",
                gettext(
                    "the zone is dry ground, so there is no depth. Leave it empty, or change the zone's bed first."
                ),
            )
        if (entry.latitude is None) != (entry.longitude is None):
            missing = "latitude" if entry.latitude is None else "longitude"
            fault(index, missing, gettext("a position has both latitude and longitude. Give the other one too."))
        elif (away_m := away.get(index, 0)) > GPS_TOLERANCE_M:
            fault(
                index,
                "latitude",
                gettext(
                    "it lies %(away)s m outside the outline of the zone. Check the position and the zone; a phone may "
                    "be off by %(tolerance)s m, which is allowed for."
                )
                % {"away": math.ceil(away_m), "tolerance": GPS_TOLERANCE_M},
            )
    return tuple(found)


@transaction.atomic
def record_survey(
    *,
    stand: Stand,
    surveyed_on: datetime.date,
    quadrat_m2: Decimal,
    quadrats: Sequence[QuadratEntry],
    actor: Account,
    now: datetime.datetime,
    gauge_cm: int | None = None,
    counted_by: str = "",
    note: str = "",
    deepest_measured: bool = False,
    submission: uuid.UUID | None = None,
) -> Recorded:
    """Record a survey with all its quadrats, or nothing. The same ``submission`` again returns the first record.

    A zone takes the greatest depth measured in it, with day and gauge level, when its own is not newer and its water
    could still be followed (the gauge was read, or the zone has no level). A depth that is less than the zone has, at
    the same water, is taken only with ``deepest_measured``: quadrats by chance may miss the deepest place, and who may
    enter is decided by it.

    Raises SurveyInFuture, NoQuadrats, TooManyQuadrats, QuadratsRefused, QuadratsCoverMore, LevelImplausible,
    NoGaugeThen for a gauge level on a day without a gauge, RemovedMeanwhile, and ValidationError for a value that the
    model refuses.
    """
    locked(stand.site)
    row = locked(stand)
    if submission and (first := row.surveys.filter(submission=submission).first()):
        return Recorded(survey=first, depths=())
    _judge(stand, surveyed_on, quadrat_m2, quadrats, now)
    if gauge_cm is not None and gauge_on(stand.site, surveyed_on) is None:
        raise NoGaugeThen(field="gauge_cm", day=surveyed_on)
    survey = Survey(
        stand=row,
        surveyed_on=surveyed_on,
        quadrat_m2=quadrat_m2,
        gauge_cm=gauge_cm,
        counted_by=counted_by,
        note=note,
        recorded_by=actor,
        recorded_at=now,
        submission=submission,
    )
    survey.full_clean()
    rows = [_row(survey, entry) for entry in quadrats]
    for each in rows:
        each.clean_fields(exclude=["survey", "zone"])
    with zones_told([stand], now):
        survey.save()
        Quadrat.objects.bulk_create(rows)
        depths = _follow_depths(survey, quadrats, actor, now, deepest_measured=deepest_measured)
    record(
        group=stand.site.group,
        actor=actor,
        at=now,
        deed="survey recorded",
        subject=survey,
        surveyed_on=surveyed_on.isoformat(),
        quadrats=len(rows),
    )
    return Recorded(survey=survey, depths=depths)


@transaction.atomic
def strike_survey(*, survey: Survey, reason: str, actor: Account, now: datetime.datetime) -> Survey:
    """Strike a wrong survey out: it counts no more and stays readable. What is right is entered as a new survey.

    A zone that still has the depth that it took from it goes back to the depth that it had before.

    Raises SurveyStruckAlready, RemovedMeanwhile, and ValidationError for an empty or too long reason.
    """
    stand = survey.stand
    locked(stand.site)
    locked(stand)
    row = Survey.objects.select_for_update(no_key=True).get(pk=survey.pk)
    if row.struck_at is not None:
        raise SurveyStruckAlready
    row.struck_at, row.struck_by, row.struck_reason = now, actor, reason
    row.full_clean()
    with zones_told([stand], now):
        row.save(update_fields=["struck_at", "struck_by", "struck_reason"])
        for zone in stand.zones.filter(pk__in=row.depth_changes).order_by("pk"):
            _go_back(locked(zone), row, actor, now)
    record(group=stand.site.group, actor=actor, at=now, deed="survey struck out", subject=row, reason=reason)
    return row


def _metres_outside(quadrats: Sequence[QuadratEntry]) -> dict[int, float]:
    """How far outside their zones' outlines those quadrats lie whose position is known, by their place in the list."""
    of_zone: dict[Zone, dict[int, tuple[float, float]]] = {}
    for index, each in enumerate(quadrats):
        if each.zone.outline is not None and each.latitude is not None and each.longitude is not None:
            of_zone.setdefault(each.zone, {})[index] = (float(each.longitude), float(each.latitude))
    away: dict[int, float] = {}
    for zone, positions in of_zone.items():
        away |= zip(positions, metres_outside(zone.outline or {}, list(positions.values())), strict=True)
    return away


def _judge(
    stand: Stand,
    surveyed_on: datetime.date,
    quadrat_m2: Decimal,
    quadrats: Sequence[QuadratEntry],
    now: datetime.datetime,
) -> None:
    today = now.astimezone(stand.site.zone_info).date()
    if surveyed_on > today:
        raise SurveyInFuture(today=today)
    if not quadrats:
        raise NoQuadrats
    if len(quadrats) > QUADRATS_MAX:
        raise TooManyQuadrats(count=len(quadrats), most=QUADRATS_MAX)
    if faults := ask_quadrats(quadrats):
        raise QuadratsRefused(faults)
    counted: dict[Zone, int] = {}
    for entry in quadrats:
        counted[entry.zone] = counted.get(entry.zone, 0) + 1
    if strangers := [zone.name for zone in counted if zone.stand_id != stand.pk]:
        raise ValueError(f"no zone of this stand: {', '.join(strangers)}")  # a form offers only the stand's own
    for zone, count in counted.items():
        if zone.area_m2 is not None and count * quadrat_m2 > zone.area_m2:
            raise QuadratsCoverMore(
                name=zone.name, count=count, quadrat_m2=quadrat_m2.normalize(), area_m2=zone.area_m2
            )


def _row(survey: Survey, entry: QuadratEntry) -> Quadrat:
    return Quadrat(
        survey=survey,
        zone=entry.zone,
        number=entry.number,
        stems=entry.stems,
        height_cm=entry.height_cm,
        depth_cm=entry.depth_cm,
        seed_heads=entry.seed_heads,
        latitude=entry.latitude,
        longitude=entry.longitude,
        note=entry.note,
    )


def _greatest(quadrats: Iterable[QuadratEntry]) -> list[tuple[Zone, int]]:
    """The greatest depth measured in each zone, zones in the order of their keys."""
    greatest: dict[Zone, int] = {}
    for each in quadrats:
        if each.depth_cm is not None:
            greatest[each.zone] = max(each.depth_cm, greatest.get(each.zone, 0))
    return sorted(greatest.items(), key=lambda pair: pair[0].pk)


def _follow_depths(
    survey: Survey,
    quadrats: Sequence[QuadratEntry],
    actor: Account,
    now: datetime.datetime,
    *,
    deepest_measured: bool,
) -> tuple[MeasuredDepth, ...]:
    told, site = [], survey.stand.site
    for zone, depth_cm in _greatest(quadrats):
        own = locked(zone)
        if own.bed == Zone.Bed.DRY:
            continue  # it lies above the water, so that no gauge says anything of it
        at_same_water = depth_today(
            own.depth_cm,
            own.gauge_cm,
            survey.gauge_cm,
            gauge_replaced=gauge_on(site, own.surveyed_on) != gauge_on(site, survey.surveyed_on),
        ).depth_cm
        not_older = survey.surveyed_on >= own.surveyed_on
        followed = survey.gauge_cm is not None or own.gauge_cm is None
        taken = not_older and followed and (deepest_measured or depth_cm >= at_same_water)
        if taken:
            before = _depth_of(own)
            measure_depth(
                row=own,
                depth_cm=depth_cm,
                surveyed_on=survey.surveyed_on,
                gauge_cm=survey.gauge_cm,
                actor=actor,
                now=now,
            )
            survey.depth_changes[str(own.pk)] = {"before": before, "after": _depth_of(own)}
        told.append(MeasuredDepth(zone=own, depth_cm=depth_cm, taken=taken))
    if survey.depth_changes:
        survey.save(update_fields=["depth_changes"])
    return tuple(told)


def _depth_of(zone: Zone) -> list[int | str | None]:
    return [zone.depth_cm, zone.surveyed_on.isoformat(), zone.gauge_cm]


def _go_back(zone: Zone, struck: Survey, actor: Account, now: datetime.datetime) -> None:
    """Undo what struck-out surveys did to a locked zone's depth, as far as nothing else has changed it since."""
    key, depth = str(zone.pk), _depth_of(zone)
    if struck.depth_changes[key]["after"] != depth:
        return
    others = Survey.objects.filter(stand=struck.stand_id).exclude(struck_at=None).exclude(pk=struck.pk)
    depth = struck.depth_changes[key]["before"]
    # The depth before may itself come from a survey that was struck out earlier.
    for earlier in others.order_by("-surveyed_on", "-recorded_at", "-pk"):
        change = earlier.depth_changes.get(key)
        if change and change["after"] == depth:
            depth = change["before"]
    depth_cm, surveyed_on, gauge_cm = depth
    measure_depth(
        row=zone,
        depth_cm=depth_cm,
        surveyed_on=datetime.date.fromisoformat(surveyed_on),
        gauge_cm=gauge_cm,
        actor=actor,
        now=now,
    )
