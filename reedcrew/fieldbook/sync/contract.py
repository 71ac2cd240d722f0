"""What a phone sends for a day, and how it is read.

``POST g/<slug>/days/<pk>/field/sync/`` with ``Content-Type: application/json``, the session's cookie and the header
``X-CSRFToken`` (the value that ``day.json`` returns in its header of the same name)::

    {"phone": uuid, "phone_name": str, "sent_at": time, "entries": [{"id": uuid, "kind": str, "at": time, "data": {}}]}

Times are ISO 8601 with an offset, as the phone's clock says. The server takes ``server_at - sent_at`` for the phone's
error and puts times right by it. ``data`` by kind; ``?`` marks what may be null or left out:

=================  ====================================================================================================
sign_in            member (key), in_water?
sign_out           stay (id of a sign-in or walk-up, or of a stay of ``state``)
walk_up            name, email?, adult, guardian? (member), born_on? (date), consent?, emergency_name?, emergency_phone?
absent             member
briefing_heard     items (names of trade.briefing.Item), members
water_in           members, zone?, unit?
water_out          members
all_out            count (people seen out), expected?
head_check         seen, expected
tally              zone, unit?, then stems, or bundles and sample (stems in each of some bundles)
load               as ("pile" or "bags"), count, seed_heads, place
incident           kind ("injury", "near_miss" or "gear_failure"), what, who?, first_aid?, witness?
note               text
strike             entry (id), reason
=================  ====================================================================================================

The answer: ``{"server_at", "offset_s", "entries": [{"id", "outcome", "code", "sentence", "field"}], "state": {}}``, one
answer an entry in the order sent; outcome "taken", "again" (the same words were here before; ``code`` says what became
of them), "conflict" (taken, and somebody should look) or "refused" (kept, nothing follows from it, somebody should
look). Whatever the outcome, the server has the entry: the phone may drop it. An entry that is badly made is kept and
refused; the others of the request go on.

Errors of the whole request are ``{"error": {"code", "sentence", "field"}}``; then nothing was kept and the phone keeps
its entries: 400 (not as above), 401 ``signed_out``, 403 ``csrf`` or ``not_yours``, 404, 413 ``too_large`` or
``too_many``.

``POST …/field/photo/`` is multipart: id, at, sent_at, phone, kind ("before" or "after"), zone?, photo (a file of at
most 15 MB). It answers with one entry's answer; a photo that is refused was not kept.
"""

import datetime
import hashlib
import json
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.dateparse import parse_date, parse_datetime

from reedcrew.fieldbook.models import LOAD_COUNT_MAX, Incident, Load
from reedcrew.fieldbook.models.incidents import INCIDENT_TEXT_MAX
from reedcrew.fieldbook.sync.errors import BadEntry, BadRequest, Oversized, TooManyEntries, TooMuchData
from reedcrew.trade.briefing import Item
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.effort import BUNDLES_MAX, counted, from_bundles
from reedcrew.trade.errors import UnusableInput

BODY_BYTES_MAX = 2 * 1024 * 1024  # of one request; 1,000 entries take about 200 kB (convention)
ENTRIES_MAX = 2000  # of one request (convention)
ENTRY_CHARS_MAX = 20_000  # of one entry: an incident told at length (convention)
PEOPLE_MAX = 400  # of one entry (convention)
PRIVATE_KINDS = frozenset({"incident", "note", "walk_up"})
_KEY_MAX = 2**31 - 1
_WITHOUT_ID = uuid.UUID("7c1f1a52-3a0e-4f0e-9a53-0d6a52f1d1c9")  # names the entries that come without a usable id


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """One entry of a request. ``refusal`` is why it cannot be read; ``data`` is then as it came."""

    entry_id: uuid.UUID
    said_id: str  # as the phone wrote it: the answer names it
    kind: str
    phone_at: datetime.datetime | None
    data: Mapping[str, Any]
    refusal: BadEntry | None = None

    @property
    def digest(self) -> str:
        return digest_of(self.kind, self.phone_at, self.data)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One request of a phone."""

    phone: uuid.UUID
    phone_name: str
    sent_at: datetime.datetime
    entries: tuple[Sent, ...]


def digest_of(kind: str, at: datetime.datetime | None, data: Mapping[str, Any]) -> str:
    """SHA-256 of what an entry says: the same words again are the same entry."""
    said = [kind, at.astimezone(datetime.UTC).isoformat() if at else None, data]
    return hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()


def read_batch(body: bytes) -> Batch:
    """Read a request. Raises Oversized, BadRequest or TooManyEntries."""
    if len(body) > BODY_BYTES_MAX:
        raise Oversized(limit=BODY_BYTES_MAX // 1024 // 1024)
    try:
        said = _clean(json.loads(body, parse_constant=_no_number))
    except (ValueError, RecursionError) as error:
        raise BadRequest(field="", needed="a JSON object") from error
    if not isinstance(said, dict):
        raise BadRequest(field="", needed="a JSON object")
    phone = uuid_of(said.get("phone"))
    if phone is None:
        raise BadRequest(field="phone", needed="a UUID")
    sent_at = moment_of(said.get("sent_at"))
    if sent_at is None:
        raise BadRequest(field="sent_at", needed="an ISO 8601 time with its offset")
    entries = said.get("entries")
    if not isinstance(entries, list):
        raise BadRequest(field="entries", needed="a list")
    if len(entries) > ENTRIES_MAX:
        raise TooManyEntries(limit=ENTRIES_MAX)
    name = said.get("phone_name")
    return Batch(
        phone=phone,
        phone_name=name.strip()[:60] if isinstance(name, str) else "",
        sent_at=sent_at,
        entries=tuple(read_entry(each) for each in entries),
    )


def read_entry(said: object) -> Sent:
    """Read one entry; what cannot be read comes back with the reason and as it was sent."""
    raw: dict[str, Any] = said if isinstance(said, dict) else {"entry": said}
    written = json.dumps(raw, sort_keys=True)
    entry_id = uuid_of(raw.get("id"))
    kind, at, data = raw.get("kind"), moment_of(raw.get("at")), raw.get("data")
    read: Mapping[str, Any] = {"sent": raw}
    refusal: BadEntry | None = None
    try:
        if len(written) > ENTRY_CHARS_MAX:
            read = {"sent": written[:ENTRY_CHARS_MAX]}
            raise TooMuchData(field="data", limit=ENTRY_CHARS_MAX)
        if entry_id is None:
            raise BadEntry(field="id", needed="a UUID")
        if not isinstance(kind, str) or kind not in KINDS:
            raise BadEntry(field="kind", needed=", ".join(KINDS))
        if at is None:
            raise BadEntry(field="at", needed="an ISO 8601 time with its offset")
        if not isinstance(data, dict):
            raise BadEntry(field="data", needed="an object")
        read = KINDS[kind](data)
    except BadEntry as error:
        refusal = error
    return Sent(
        entry_id=entry_id or uuid.uuid5(_WITHOUT_ID, written),
        said_id=str(raw.get("id") or ""),
        kind=kind if isinstance(kind, str) and kind in KINDS else "unknown",
        phone_at=at,
        data=read,
        refusal=refusal,
    )


def uuid_of(value: object) -> uuid.UUID | None:
    """A UUID of 36 signs, None for anything else."""
    try:
        return uuid.UUID(value) if isinstance(value, str) and len(value) == 36 else None
    except ValueError:
        return None


def moment_of(value: object) -> datetime.datetime | None:
    """A time with its offset, in UTC; None for anything else, also for one near the ends of the calendar."""
    try:
        moment = parse_datetime(value) if isinstance(value, str) else None
        if moment is None or moment.tzinfo is None or not 1970 <= moment.year <= 2999:
            return None
        return moment.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        return None


# --- Private ---------------------------------------------------------------------------------------------------------


def _no_number(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _clean(value: Any) -> Any:
    """Text without signs that no database keeps: NUL, and halves of surrogate pairs."""
    if isinstance(value, str):
        return "".join(sign for sign in value if sign != "\0" and not 0xD800 <= ord(sign) <= 0xDFFF)
    if isinstance(value, list):
        return [_clean(each) for each in value]
    if isinstance(value, dict):
        return {_clean(key): _clean(each) for key, each in value.items()}
    return value


Data = Mapping[str, Any]


def _whole(data: Data, name: str, high: int, low: int = 0) -> int:
    value = data.get(name)
    if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
        raise BadEntry(field=f"data.{name}", needed=f"a whole number from {low} to {high}")
    return value


def _whole_or_none(data: Data, name: str, high: int, low: int = 1) -> int | None:
    return None if data.get(name) is None else _whole(data, name, high, low)


def _flag(data: Data, name: str) -> bool:
    value = data.get(name) or False
    if not isinstance(value, bool):
        raise BadEntry(field=f"data.{name}", needed="true or false")
    return value


def _text(data: Data, name: str, longest: int, *, needed: bool = False) -> str:
    value = data.get(name) or ""
    if not isinstance(value, str) or len(value.strip()) > longest or (needed and not value.strip()):
        raise BadEntry(field=f"data.{name}", needed=f"a text of at most {longest} signs")
    return value.strip()


def _id(data: Data, name: str) -> str:
    value = uuid_of(data.get(name))
    if value is None:
        raise BadEntry(field=f"data.{name}", needed="a UUID")
    return str(value)


def _one_of(data: Data, name: str, allowed: list[str]) -> str:
    value = data.get(name)
    if not isinstance(value, str) or value not in allowed:
        raise BadEntry(field=f"data.{name}", needed=", ".join(allowed))
    return value


def _wholes(data: Data, name: str, high: int, most: int) -> list[int]:
    values = data.get(name)
    if not isinstance(values, list) or not 1 <= len(values) <= most:
        raise BadEntry(field=f"data.{name}", needed=f"a list of 1 to {most} whole numbers")
    return [_whole({name: value}, name, high) for value in values]


def _sign_in(data: Data) -> Data:
    return {"member": _whole(data, "member", _KEY_MAX, 1), "in_water": _flag(data, "in_water")}


def _walk_up(data: Data) -> Data:
    born_on = _text(data, "born_on", 10)
    try:
        born = parse_date(born_on) if born_on else None
    except ValueError:
        born = None
    if born_on and born is None:
        raise BadEntry(field="data.born_on", needed="a date such as 2012-05-31")
    return {
        "name": _text(data, "name", 80, needed=True),
        "email": _text(data, "email", 254),
        "adult": _flag(data, "adult"),
        "guardian": _whole_or_none(data, "guardian", _KEY_MAX),
        "born_on": born.isoformat() if born else None,
        "consent": _flag(data, "consent"),
        "emergency_name": _text(data, "emergency_name", 200),
        "emergency_phone": _text(data, "emergency_phone", 60),
    }


def _briefing(data: Data) -> Data:
    items = data.get("items")
    known = [item.value for item in Item]
    if not isinstance(items, list) or not items or any(item not in known for item in items if isinstance(item, str)):
        raise BadEntry(field="data.items", needed=", ".join(known))
    if not all(isinstance(item, str) for item in items):
        raise BadEntry(field="data.items", needed=", ".join(known))
    return {"items": [item for item in known if item in items], **_members(data)}


def _members(data: Data) -> dict[str, list[int]]:
    return {"members": sorted(set(_wholes(data, "members", _KEY_MAX, PEOPLE_MAX)))}


def _water_in(data: Data) -> Data:
    return {
        **_members(data),
        "zone": _whole_or_none(data, "zone", _KEY_MAX),
        "unit": _whole_or_none(data, "unit", 200),
    }


def _all_out(data: Data) -> Data:
    count = _whole(data, "count", PEOPLE_MAX)
    expected = count if data.get("expected") is None else _whole(data, "expected", PEOPLE_MAX)
    return {"count": count, "expected": expected}


def _head_check(data: Data) -> Data:
    return {"seen": _whole(data, "seen", PEOPLE_MAX), "expected": _whole(data, "expected", PEOPLE_MAX)}


def _tally(data: Data) -> Data:
    place = {"zone": _whole(data, "zone", _KEY_MAX, 1), "unit": _whole_or_none(data, "unit", 200)}
    try:
        if data.get("bundles") is None:
            stems = _whole(data, "stems", STEMS_MAX)
            counted(stems)
            return {**place, "stems": stems}
        bundles, sample = _whole(data, "bundles", BUNDLES_MAX, 1), _wholes(data, "sample", STEMS_MAX, BUNDLES_MAX)
        from_bundles(bundles, sample)
    except UnusableInput as unusable:
        fault = unusable.faults[0]
        raise BadEntry(field=f"data.{fault.where}", needed=str(fault.message)) from unusable
    return {**place, "bundles": bundles, "sample": sample}


def _load(data: Data) -> Data:
    read = {
        "as": _one_of(data, "as", Load.Kind.values),
        "count": _whole(data, "count", LOAD_COUNT_MAX, 1),
        "seed_heads": _flag(data, "seed_heads"),
        "place": _text(data, "place", 160, needed=True),
    }
    if read["as"] == Load.Kind.PILE and read["seed_heads"]:
        raise BadEntry(field="data.as", needed='"bags": seed would blow from a pile')
    return read


def _incident(data: Data) -> Data:
    return {
        "kind": _one_of(data, "kind", Incident.Kind.values),
        "what": _text(data, "what", INCIDENT_TEXT_MAX, needed=True),
        **{name: _text(data, name, INCIDENT_TEXT_MAX) for name in ("who", "first_aid", "witness")},
    }


KINDS: Mapping[str, Callable[[Data], Data]] = {
    "sign_in": _sign_in,
    "sign_out": lambda data: {"stay": _id(data, "stay")},
    "walk_up": _walk_up,
    "absent": lambda data: {"member": _whole(data, "member", _KEY_MAX, 1)},
    "briefing_heard": _briefing,
    "water_in": _water_in,
    "water_out": _members,
    "all_out": _all_out,
    "head_check": _head_check,
    "tally": _tally,
    "load": _load,
    "incident": _incident,
    "note": lambda data: {"text": _text(data, "text", INCIDENT_TEXT_MAX, needed=True)},
    "strike": lambda data: {"entry": _id(data, "entry"), "reason": _text(data, "reason", 200, needed=True)},
}
