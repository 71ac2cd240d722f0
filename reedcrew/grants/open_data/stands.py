"""Stands as others may read them: where, as exactly as the group lets them, and which reed."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Max, Min

from reedcrew.grants.open_data.vocabulary import TAXA
from reedcrew.people.models import Group
from reedcrew.stands.models import IdentificationCheck, IdentificationDecision, Stand, Survey
from reedcrew.trade.blurring import Blurring, Place, blur
from reedcrew.trade.identification import Authority, Identification
from reedcrew.trade.outline import Outline, outline_from
from reedcrew.workdays.models import WorkDay

Days = tuple[datetime.date, datetime.date]

MEETING_PLACE = "position of the meeting place: the outline of the stand is not drawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenStand:
    """One stand. ``locality`` is empty and ``outline`` None where the group blurs positions: they would undo it.

    ``days`` are the first and the last on which somebody was there to check, survey or cut; None where nobody was.
    """

    pk: int
    key: str
    place: Place
    locality: str
    outline: Outline | None
    is_drawn: bool
    identification: Identification
    authority: Authority | None
    identified_on: datetime.date | None
    first_cut_year: int | None
    area_m2: float | None
    days: Days | None

    @property
    def taxon(self) -> dict[str, str]:
        """The reed's name and status as Darwin Core terms."""
        return dict(TAXA[self.identification])

    @property
    def where(self) -> str:
        """What else there is to say of the position."""
        return "" if self.is_drawn else MEETING_PLACE


def open_stands(group: Group, blurring: Blurring) -> dict[int, OpenStand]:
    """Every stand of a group by its key. Five queries, however many stands.

    A stand has one position in all that is published of it, so that its surveys and days do not surround it.
    """
    stands = Stand.objects.of_group(group).select_related("site").order_by("pk")
    days = _days(group)
    decisions = _decisions(group)
    return {stand.pk: _open(group, stand, blurring, days.get(stand.pk), decisions.get(stand.pk)) for stand in stands}


def generalized(blurring: Blurring) -> str:
    """What was made coarser, for ``dataGeneralizations``; empty where nothing was."""
    if blurring.step is None:
        return ""
    return f"Position is the middle of its cell in a grid of {blurring.step} degrees (Chapman 2020)."


def withheld(blurring: Blurring) -> str:
    """What was left out, for ``informationWithheld``."""
    people = "Names of people are left out"
    if blurring.step is None:
        return f"{people}."
    return f"{people}; exact position, outline and names of places are withheld by the group."


# --- Private ---------------------------------------------------------------------------------------------------------


def _open(
    group: Group, stand: Stand, blurring: Blurring, days: Days | None, decision: IdentificationDecision | None
) -> OpenStand:
    outline = outline_from(stand.outline) if stand.outline else None
    exact = blurring is Blurring.EXACT
    decided = decision if decision and decision.result == stand.identification else None
    return OpenStand(
        pk=stand.pk,
        key=f"{group.slug}:stand:{stand.pk}",
        place=blur(
            outline.centre if outline else stand.site.position,
            blurring,
            radius_m=outline.radius_m if outline else None,
        ),
        locality=f"{stand.site.name}, {stand.name}" if exact else "",
        outline=outline if exact else None,
        is_drawn=outline is not None,
        identification=Identification(stand.identification),
        authority=Authority(decided.authority) if decided else None,
        identified_on=decided.decided_at.astimezone(stand.site.zone_info).date() if decided else None,
        first_cut_year=stand.first_cut_year,
        area_m2=float(stand.area_m2) if stand.area_m2 else None,
        days=days,
    )


def _decisions(group: Group) -> dict[int, IdentificationDecision]:
    """The latest decision of each stand, which is the one that holds."""
    decisions = IdentificationDecision.objects.filter(stand__site__group=group).order_by("stand", "pk")
    return {decision.stand_id: decision for decision in decisions}


def _days(group: Group) -> dict[int, Days]:
    surveys = Survey.objects.standing().filter(stand__site__group=group)
    closed = WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED)
    checks = IdentificationCheck.objects.filter(stand__site__group=group)
    spans: list[Iterable[tuple[int, datetime.date, datetime.date]]] = [
        rows.order_by("stand").values_list("stand").annotate(first=Min(field), last=Max(field))
        for rows, field in ((surveys, "surveyed_on"), (closed, "date"), (checks, "checked_on"))
    ]
    found: dict[int, Days] = {}
    for span in spans:
        for stand, first, last in span:
            before = found.get(stand, (first, last))
            found[stand] = min(before[0], first), max(before[1], last)
    return found
