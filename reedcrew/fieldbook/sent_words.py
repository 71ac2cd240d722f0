"""Entries from phones in words, for the page on which a person looks at what could not be taken as it was."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext

from reedcrew.fieldbook.briefing_list import TITLES
from reedcrew.fieldbook.models import Incident, Load, PhoneOfDay, Submission
from reedcrew.fieldbook.sync.sent_rows import data_of, sentence_of
from reedcrew.people.models import Member
from reedcrew.trade.briefing import Item
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class SentVersion:
    """One version of an entry: what it says, line by line, and where it comes from."""

    submission: Submission
    lines: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToLookAt:
    """An entry that somebody should look at, why, and the version that it differs from."""

    version: SentVersion
    why: str
    other: SentVersion | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneLine:
    """A phone of the day and how far its clock is off, in words."""

    phone: PhoneOfDay
    clock: str


def entries_to_look_at(day: WorkDay, *, private: bool, settled: bool = False) -> list[ToLookAt]:
    """Entries that were refused or taken with a conflict, the latest first. A constant number of queries.

    ``private``: whether the reader may see what is private in them.
    """
    found = list(
        Submission.objects.filter(day=day, settled_at__isnull=not settled)
        .exclude(outcome=Submission.Outcome.TAKEN)
        .select_related("phone", "author", "settled_by", "day__stand__site__group")
        .order_by("-at", "-pk")
    )
    others: dict[Any, Submission] = {}
    for each in (
        Submission.objects.filter(day=day, entry_id__in=[each.other_id for each in found if each.other_id])
        .select_related("phone", "author", "day__stand__site__group")
        .order_by("-pk")
    ):
        others[each.entry_id] = each
    names = dict(Member.objects.filter(group=day.group).values_list("pk", "name"))
    zones = dict(day.stand.zones.values_list("pk", "name"))

    def version(each: Submission) -> SentVersion:
        hidden = bool(each.private) and not private
        lines = [gettext("Private: read by organizers and the day's crew leads.")] if hidden else None
        return SentVersion(submission=each, lines=lines or _lines(data_of(each), names, zones))

    return [
        ToLookAt(
            version=version(each),
            why=sentence_of(each),
            other=version(others[each.other_id]) if each.other_id in others else None,
        )
        for each in found
    ]


def entries_waiting(day: WorkDay) -> int:
    """How many entries from phones nobody has looked at yet."""
    return Submission.objects.filter(day=day, settled_at=None).exclude(outcome=Submission.Outcome.TAKEN).count()


def phones_of(day: WorkDay) -> list[PhoneLine]:
    """The phones that opened or sent the day, with their clocks. One query."""
    return [
        PhoneLine(phone=phone, clock=_clock(phone.offset_s))
        for phone in day.phones.select_related("account").order_by("first_at", "pk")
    ]


# --- Private ---------------------------------------------------------------------------------------------------------

_ABOUT_RIGHT_S = 30  # a request takes some seconds too (convention)


def _clock(offset_s: int) -> str:
    minutes, seconds = divmod(abs(offset_s), 60)
    words = gettext("%(minutes)d min %(seconds)d s") % {"minutes": minutes, "seconds": seconds}
    if abs(offset_s) <= _ABOUT_RIGHT_S:
        return gettext("right")
    return gettext("%(time)s behind") % {"time": words} if offset_s > 0 else gettext("%(time)s ahead") % {"time": words}


def _lines(data: Mapping[str, Any], names: Mapping[int, str], zones: Mapping[int, str]) -> list[str]:
    """The parts of an entry that mean something to a reader, in the order of the contract."""
    labels = {
        "name": gettext("Name: %s"),
        "stems": gettext("Stems: %s"),
        "bundles": gettext("Bundles: %s"),
        "sample": gettext("Stems in some of the bundles: %s"),
        "count": gettext("How many: %s"),
        "seen": gettext("Seen: %s"),
        "expected": gettext("Expected: %s"),
        "unit": gettext("Unit: %s"),
        "place": gettext("Where: %s"),
        "what": gettext("What happened: %s"),
        "who": gettext("Who: %s"),
        "first_aid": gettext("First aid: %s"),
        "witness": gettext("Who saw it: %s"),
        "text": gettext("Note: %s"),
        "reason": gettext("Reason: %s"),
    }
    choices = {
        "kind": dict(Incident.Kind.choices),
        "as": dict(Load.Kind.choices),
    }
    lines = []
    for name, value in data.items():
        if value is None or value == "" or value == [] or value is False:
            continue
        if name in {"member", "guardian"}:
            lines.append(names.get(value, f"#{value}"))
        elif name == "members" and isinstance(value, list):
            lines.append(", ".join(names.get(each, f"#{each}") for each in value))
        elif name == "zone":
            lines.append(zones.get(value, f"#{value}"))
        elif name == "items" and isinstance(value, list):
            lines.append(", ".join(str(TITLES[Item(each)]) for each in value))
        elif name in choices:
            lines.append(str(choices[name].get(value, value)))
        elif name == "in_water":
            lines.append(gettext("works in water"))
        elif name == "seed_heads":
            lines.append(gettext("with seed heads"))
        elif name in labels:
            shown = ", ".join(map(str, value)) if isinstance(value, list) else value
            lines.append(labels[name] % shown)
        elif name == "sent":
            lines.append(str(value)[:400])
    return lines
