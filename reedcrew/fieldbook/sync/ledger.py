"""Makes the rows of a day equal to its folded state, in a number of queries that does not grow with the entries."""

import uuid
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from django.utils.translation import gettext as _

from reedcrew.fieldbook.models import (
    Attendance,
    BriefingHeard,
    DayPhoto,
    FieldEntry,
    HeadCheck,
    Incident,
    Load,
    Tally,
    WaterStint,
)
from reedcrew.fieldbook.sync.facts import Said
from reedcrew.fieldbook.sync.folding import Folded, Stay
from reedcrew.fieldbook.sync.water_sweep import Stint, row_of
from reedcrew.people.policy import policy_of
from reedcrew.trade import effort
from reedcrew.trade.disposal import bag_sun_end
from reedcrew.workdays.models import WorkDay

_Row = TypeVar("_Row", bound=FieldEntry)
Fields = dict[str, Any]
Wanted = dict[uuid.UUID, tuple[Said, Fields]]

NOT_STRUCK: Mapping[str, Any] = {"struck_at": None, "struck_by_id": None, "struck_reason": ""}


def write(day: WorkDay, folded: Folded) -> list[Incident]:
    """Write what follows from a fold; returns the incidents that are new. Under the day's lock.

    A row that no entry asks for stays: it was written by other hands. Of a day that is closed only incidents are
    written.
    """
    if not day.is_open:
        return _write_incidents(day, folded)
    _write(Attendance, day, {stay.said.entry_id: (stay.said, _attendance(stay, folded)) for stay in folded.stays})
    _write(WaterStint, day, {stint.id: (stint.said, _stint(stint, folded)) for stint in folded.stints})
    entries: dict[str, list[Said]] = {}
    for each in folded.standing.values():
        entries.setdefault(each.kind, []).append(each)
    counts = [*entries.get("head_check", ()), *entries.get("all_out", ())]
    _write(HeadCheck, day, _wanted(counts, folded, lambda said: _head_check(said, folded)))
    _write(BriefingHeard, day, _heard(entries.get("briefing_heard", ()), folded))
    _write(Tally, day, _wanted(entries.get("tally", ()), folded, _tally))
    loads = entries.get("load", ())
    sun_until = bag_sun_end(day.date, policy_of(day.group)) if loads else None
    _write(Load, day, _wanted(loads, folded, lambda said: _load(said, sun_until)))
    photos = {each.entry_id: (each, _struck_by(each, folded)) for each in entries.get("photo", ())}
    _write(DayPhoto, day, photos, may_create=False)  # its file came with the row
    return _write_incidents(day, folded)


# --- Private ---------------------------------------------------------------------------------------------------------


def _write(model: type[_Row], day: WorkDay, wanted: Wanted, *, may_create: bool = True) -> list[_Row]:
    if not wanted:
        return []
    rows = {row.pk: row for row in model._default_manager.filter(day=day)}
    ending: list[_Row] = []
    lasting: list[_Row] = []
    new: list[_Row] = []
    names: set[str] = set()
    for key, (said, of_kind) in wanted.items():
        entered = {"entered_by_id": said.author, "entered_at": said.at}
        fields = {**of_kind, **entered} if said.phone is not None else of_kind  # a page said when it was entered
        row = rows.get(key)
        if row is None:
            if may_create:
                new.append(model(pk=key, day=day, **{**fields, **entered}))
            continue
        changed = [name for name, value in fields.items() if getattr(row, name) != value]
        for name in changed:
            setattr(row, name, fields[name])
        names.update(changed)
        if changed:
            lasts = row.struck_at is None and fields.get("signed_out_at", fields.get("out_at")) is None
            (lasting if lasts else ending).append(row)
    concrete = [model._meta.get_field(name.removesuffix("_id")).name for name in sorted(names)]
    for changing in (ending, lasting):  # so that nobody has two open stays for a moment
        if changing:
            model._default_manager.bulk_update(changing, concrete)
    return model._default_manager.bulk_create(new) if new else []


def _write_incidents(day: WorkDay, folded: Folded) -> list[Incident]:
    told = [each for each in folded.standing.values() if each.kind == "incident"]
    return _write(Incident, day, _wanted(told, folded, _incident))


def _wanted(entries: Iterable[Said], folded: Folded, fields: Any) -> Wanted:
    return {each.entry_id: (each, {**fields(each), **_struck_by(each, folded)}) for each in entries}


def _struck_by(said: Said, folded: Folded) -> Fields:
    strike = folded.strikes.get(said.entry_id)
    if strike is None:
        return dict(NOT_STRUCK)
    return {"struck_at": strike.at, "struck_by_id": strike.author, "struck_reason": strike.data["reason"]}


def _repeated(said: Said, merged: Said | None, folded: Folded, reason: str) -> Fields:
    if merged is None:
        return _struck_by(said, folded)
    return {"struck_at": said.at, "struck_by_id": merged.author, "struck_reason": reason}


def _attendance(stay: Stay, folded: Folded) -> Fields:
    return {
        "member_id": stay.member,
        "signed_in_at": stay.in_at,
        "signed_out_at": stay.out_at,
        "signed_out_by_id": stay.out.author if stay.out else None,
        "in_water": stay.in_water,
        **_repeated(stay.said, stay.merged, folded, _("Signed in twice: the earlier time stands.")),
    }


def _stint(stint: Stint, folded: Folded) -> Fields:
    return {
        "member_id": stint.member,
        "zone_id": stint.zone,
        "unit_number": stint.unit,
        "in_at": stint.in_at,
        "out_at": stint.out_at,
        "out_by_id": stint.out.author if stint.out else None,
        **_repeated(stint.said, stint.merged, folded, _("Written down twice: the earlier time stands.")),
    }


def _heard(entries: Iterable[Said], folded: Folded) -> Wanted:
    return {
        row_of(each.entry_id, member): (
            each,
            {"member_id": member, "items": each.data["items"], **_struck_by(each, folded)},
        )
        for each in entries
        for member in each.members
    }


def _head_check(said: Said, folded: Folded) -> Fields:
    """A phone that had not heard of all the others expected too few: a count agrees with what all of them say."""
    all_out = said.kind == "all_out"
    seen = said.data["count"] if all_out else said.data["seen"]
    return {"seen": seen, "expected": folded.counted.get(said.entry_id, said.data["expected"]), "all_out": all_out}


def _tally(said: Said) -> Fields:
    place = {"zone_id": said.data["zone"], "unit_number": said.data["unit"]}
    bundles, sample = said.data.get("bundles"), said.data.get("sample", [])
    method = Tally.Method.COUNTED if bundles is None else Tally.Method.BUNDLES
    known = effort.counted(said.data["stems"]) if bundles is None else effort.from_bundles(bundles, sample)
    stems = {"stems": known.stems, "stems_low": known.low, "stems_high": known.high}
    return {**place, **stems, "method": method, "bundles": bundles, "sample": sample}


def _load(said: Said, sun_until: Any) -> Fields:
    kind = said.data["as"]
    named = {name: said.data[name] for name in ("count", "seed_heads", "place")}
    return {**named, "kind": kind, "sun_until": sun_until if kind == Load.Kind.BAGS else None}


def _incident(said: Said) -> Fields:
    return {
        **{name: said.data[name] for name in ("kind", "what", "who", "first_aid", "witness")},
        "happened_at": said.at,
    }
