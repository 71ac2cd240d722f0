"""Submissions as the folding reads them, and their remarks in words."""

import json
import uuid
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from reedcrew.fieldbook.errors import FieldbookError
from reedcrew.fieldbook.models import Attendance, Submission
from reedcrew.fieldbook.sync.errors import SENTENCES
from reedcrew.fieldbook.sync.facts import Said
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays.models import WorkDay


def data_of(each: Submission) -> Mapping[str, Any]:
    """What an entry says, also where it is kept encrypted."""
    read: Mapping[str, Any] = json.loads(each.private) if each.private else each.data
    return read


def said_by(each: Submission) -> Said:
    """A submission as the folding reads it."""
    return Said(
        entry_id=each.entry_id,
        digest=each.digest,
        kind=each.kind,
        at=each.at,
        data=data_of(each),
        phone=each.phone_id,
        author=each.author_id,
        who=each.member_id,
    )


def older_stays(day: WorkDay, known: Collection[tuple[uuid.UUID, str]]) -> list[Said]:
    """Stays that no submission tells of, as if they had been sent: rows that were written by other hands."""
    sent = {entry_id for entry_id, _digest in known}
    said: list[Said] = []
    for row in Attendance.objects.filter(day=day):
        if row.pk in sent:
            continue
        came = {"member": row.member_id, "in_water": row.in_water}
        said.append(
            Said(
                entry_id=row.pk,
                digest="",
                kind="sign_in",
                at=row.signed_in_at,
                data=came,
                author=row.entered_by_id,
            )
        )
        for name, at, by, data in (
            ("sign_out", row.signed_out_at, row.signed_out_by_id, {"stay": str(row.pk)}),
            ("strike", row.struck_at, row.struck_by_id, {"entry": str(row.pk), "reason": row.struck_reason}),
        ):
            if at is not None:
                entry_id = uuid.uuid5(row.pk, name)
                said.append(Said(entry_id=entry_id, digest="", kind=name, at=at, data=data, author=by or 0))
    return said


def sentence_of(each: Submission) -> str:
    """Why somebody should look at an entry, in words; empty where nothing is to be looked at."""
    if not each.code:
        return ""
    families = (*_family(FieldbookError), *_family(ReedcrewError))  # the own refusals first, then those of joining
    sentence = SENTENCES.get(each.code) or next((error.sentence for error in families if error.code == each.code), "")
    try:
        return str(sentence) % each.values if each.values else str(sentence)
    except (KeyError, ValueError, TypeError):
        return str(sentence)


def _family(error: type[ReedcrewError]) -> Iterable[type[ReedcrewError]]:
    for child in error.__subclasses__():
        yield child
        yield from _family(child)
