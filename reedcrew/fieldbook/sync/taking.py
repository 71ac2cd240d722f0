"""Takes in what a phone sends: each entry is a row first, then the day is folded anew and its rows follow.

One transaction under the lock of the day's row: either everything of a request is kept and answered, or nothing is, and
then the phone sends it again. The number of queries does not grow with the entries; it grows with people who came
without a place, with those who did not come and with incidents, who are few.
"""

import datetime
import json
import uuid
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.models import PhoneOfDay, Submission
from reedcrew.fieldbook.services.incidents import tell_incident
from reedcrew.fieldbook.sync import ledger
from reedcrew.fieldbook.sync.contract import PRIVATE_KINDS, Batch, Sent
from reedcrew.fieldbook.sync.errors import MemberUnknown, ZoneUnknown
from reedcrew.fieldbook.sync.facts import Remark
from reedcrew.fieldbook.sync.folding import fold
from reedcrew.fieldbook.sync.people import (
    enter_newcomers,
    facts_of,
    give_places,
    members_of,
    people_named,
    write_absences,
)
from reedcrew.fieldbook.sync.phones import ALWAYS, likely, note_phone, offset_of, put_right
from reedcrew.fieldbook.sync.sent_rows import data_of, older_stays, said_by, sentence_of
from reedcrew.people.models import Account, Member
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.times import moment_text
from reedcrew.workdays.models import WorkDay

Key = tuple[uuid.UUID, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of one entry."""

    said_id: str
    outcome: str
    code: str = ""
    sentence: str = ""
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """The answers to one request, in its order, and the phone's error in seconds (server time minus phone time)."""

    offset_s: int
    answers: tuple[Answer, ...]


@transaction.atomic
def take(*, day: WorkDay, batch: Batch, author: Account, now: datetime.datetime) -> Taken:
    """Take in one request of a phone. Entries are refused one by one, in their rows; nothing is raised for them."""
    day = WorkDay.objects.held(day.pk)
    offset_s = offset_of(batch.sent_at, now)
    phone = note_phone(day, batch.phone, batch.phone_name, author, offset_s, now)
    kept = {_key(each): each for each in Submission.objects.filter(day=day).select_related("author")}
    new: dict[Key, Submission] = {}
    for sent in batch.entries:
        if (sent.entry_id, sent.digest) not in kept:
            new.setdefault((sent.entry_id, sent.digest), _submission(day, sent, phone, author, offset_s, now))
    every = {**kept, **new}
    people = people_named(day, every.values())
    _refuse_for_good(day, new.values(), people)
    walk_ups = [each for each in new.values() if each.kind == Submission.Kind.WALK_UP]
    Submission.objects.bulk_create(walk_ups)
    before = {key: _outcome(each) for key, each in every.items()}
    remarks = _settle(day, every, people, now)
    for key, each in every.items() if day.is_open else new.items():
        if not each.final:
            _write_outcome(each, remarks.get(key) or _unlikely(day, each))
    Submission.objects.bulk_create([each for each in new.values() if each.kind != Submission.Kind.WALK_UP])
    if changed := [each for each in (*kept.values(), *walk_ups) if _outcome(each) != before[_key(each)]]:
        Submission.objects.bulk_update(changed, OUTCOME_FIELDS)
    answers, seen = [], set(kept)
    for sent in batch.entries:
        key = (sent.entry_id, sent.digest)
        answers.append(_answer(sent, every[key], again=key in seen))
        seen.add(key)
    return Taken(offset_s=offset_s, answers=tuple(answers))


# --- Private ---------------------------------------------------------------------------------------------------------

OUTCOME_FIELDS = ["outcome", "code", "values", "field", "other_id", "member"]


def _key(each: Submission) -> Key:
    return each.entry_id, each.digest


def _outcome(each: Submission) -> tuple[object, ...]:
    return each.outcome, each.code, each.values, each.field, each.other_id, each.member_id


def _submission(
    day: WorkDay, sent: Sent, phone: PhoneOfDay, author: Account, offset_s: int, now: datetime.datetime
) -> Submission:
    is_private = sent.kind in PRIVATE_KINDS or sent.refusal is not None
    return Submission(
        day=day,
        entry_id=sent.entry_id,
        digest=sent.digest,
        phone=phone,
        author=author,
        kind=sent.kind,
        data={} if is_private else dict(sent.data),
        private=json.dumps(sent.data) if is_private else "",
        phone_at=sent.phone_at,
        offset_s=offset_s,
        at=likely(day, put_right(sent.phone_at, offset_s) or now, now, sent.kind),
        received_at=now,
        member_id=sent.data.get("member") if sent.refusal is None else None,
        final=sent.refusal is not None,
        code=sent.refusal.code if sent.refusal else "",
        values=_as_text(sent.refusal.values) if sent.refusal else {},
        field=str(sent.refusal.values.get("field", "")) if sent.refusal else "",
    )


def _as_text(values: Mapping[str, object]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def _refuse_for_good(day: WorkDay, new: Collection[Submission], people: Mapping[int, Member]) -> None:
    """Refuse what cannot be true of this day, whatever arrives later."""
    zones = set(day.zones.values_list("pk", flat=True))
    elsewhere = set(
        Submission.objects.filter(entry_id__in=[each.entry_id for each in new])
        .exclude(day=day)
        .values_list("entry_id", flat=True)
    )
    for each in new:
        if each.final:
            each.outcome = Submission.Outcome.REFUSED
            continue
        data = data_of(each)
        refusal: ReedcrewError | None = None
        if not day.is_open and each.kind not in ALWAYS:
            refusal = errors.FieldbookClosed(status=day.get_status_display())
        elif each.entry_id in elsewhere:
            refusal = errors.EntryOfAnotherDay()
        elif any(key not in people for key in members_of(data)):
            refusal = MemberUnknown(field="data.members" if "members" in data else "data.member")
        elif data.get("zone") is not None and data["zone"] not in zones:
            refusal = ZoneUnknown(field="data.zone")
        if refusal is not None:
            each.final, each.outcome, each.code = True, Submission.Outcome.REFUSED, refusal.code
            each.values, each.field = _as_text(refusal.values), str(refusal.values.get("field", ""))
            if each.member_id not in people:
                each.member_id = None


def _settle(
    day: WorkDay, every: Mapping[Key, Submission], people: dict[int, Member], now: datetime.datetime
) -> dict[Key, Remark]:
    """Fold the day and write its rows; returns what somebody should look at, by entry."""
    valid = [each for each in every.values() if not each.final]
    refused = enter_newcomers(day, valid, people) if day.is_open else {}
    if day.is_open:
        give_places(day, valid, people)
    folded = fold([*map(said_by, valid), *older_stays(day, every)], facts_of(day, people, now))
    for incident in ledger.write(day, folded):
        tell_incident(incident=incident, actor=incident.entered_by, now=now)
    if day.is_open:
        write_absences(day, folded, every.values())
    return {**folded.remarks, **refused}


def _unlikely(day: WorkDay, each: Submission) -> Remark | None:
    """That the phone's time could not be, and was written down as another."""
    said = put_right(each.phone_at, each.offset_s) if each.phone_id is not None else None
    if said is None or said == each.at:
        return None
    told = {name: moment_text(moment, day.zone_info) for name, moment in (("said", said), ("at", each.at))}
    return Remark(code="time_unlikely", values=told)


def _write_outcome(each: Submission, remark: Remark | None) -> None:
    if remark is None:
        each.outcome, each.code, each.values, each.other_id = Submission.Outcome.TAKEN, "", {}, None
        return
    each.outcome = Submission.Outcome.REFUSED if remark.refused else Submission.Outcome.CONFLICT
    each.code, each.values, each.other_id = remark.code, dict(remark.values), remark.other


def _answer(sent: Sent, each: Submission, *, again: bool) -> Answer:
    outcome = "again" if again else each.outcome
    return Answer(said_id=sent.said_id, outcome=outcome, code=each.code, sentence=sentence_of(each), field=each.field)
