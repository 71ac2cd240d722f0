"""Reading and judging of answers, without a database. Numbers are test cases of the invites' own checklist.

RFC 5546 section 3.2.3 (REPLY), RFC 6047 section 2.4 (mail), RFC 8601 section 5 (who vouches), RFC 3464 (reports).
"""

import contextlib
import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.invites.calendar.events import PartStat
from reedcrew.invites.replies.answers import Answer, Asks, Problem, UnusableReply, read_answer
from reedcrew.invites.replies.authentication import Verdict
from reedcrew.invites.replies.judging import Act, Standing, Why, judge
from reedcrew.invites.replies.mails import Incoming, Kind, read_mail
from tests.invites.mails import ORGANIZER, calendar_mail, delivery_report, nested, plain_mail, reply_calendar

UID = "3f0c7c1e-0000-4000-8000-000000000001@reedcrew.example"
PERSON = "ada@example.org"
TOLD = datetime.datetime(2026, 8, 10, 12, 0, tzinfo=datetime.UTC)
ARRIVED = datetime.datetime(2026, 8, 11, 8, 1, tzinfo=datetime.UTC)
STANDING = Standing(address=PERSON, sequence=0, told_at=TOLD, last=None, over=False)


def answer_of(**changes) -> Answer:
    return read_answer(reply_calendar(**{"uid": UID, "attendee": PERSON, **changes}))


def judged(answer: Answer, standing: Standing | None = STANDING, *, sender: str = PERSON, verdict=Verdict.SILENT):
    incoming = Incoming(kind=Kind.ANSWER, sender=sender, verdict=verdict, answer=answer)
    return judge(incoming, answer, standing, organizer=ORGANIZER, arrived=ARRIVED)


def standing(**changes) -> Standing:
    values = {name: getattr(STANDING, name) for name in ("address", "sequence", "told_at", "last", "over")}
    return Standing(**{**values, **changes})


# --- Reading ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("partstat", ["ACCEPTED", "DECLINED", "TENTATIVE", "declined"])
def test_an_answer_is_read(partstat):
    answer = answer_of(partstat=partstat, sequence=2, more=["COMMENT:My boots\\, too\\nleak"])
    assert answer.partstat is PartStat(partstat.upper())
    assert (answer.uid, answer.attendee, answer.organizer, answer.sequence) == (UID, PERSON, ORGANIZER, 2)
    assert answer.dtstamp == datetime.datetime(2026, 8, 11, 8, 0, tzinfo=datetime.UTC)
    assert answer.comment == "My boots, too\nleak"


def test_an_answer_without_organizer_and_with_a_foreign_time_zone_is_read():
    """21: as some exchange servers send it."""
    answer = answer_of(organizer=None, more=["DTSTART;TZID=W. Europe Standard Time:20260815T090000"])
    assert answer.organizer == ""
    assert answer.partstat is PartStat.DECLINED


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"events": 2}, Problem.SEVERAL_EVENTS),
        ({"more": ["ATTENDEE;PARTSTAT=ACCEPTED:mailto:other@example.org"]}, Problem.SEVERAL_PEOPLE),
        ({"attendee": ""}, Problem.NO_PERSON),
        ({"more": ["RECURRENCE-ID:20260815T090000Z"]}, Problem.ONE_OF_A_SERIES),
        ({"sequence": "many"}, Problem.BROKEN_VALUE),
        ({"sequence": -1}, Problem.BROKEN_VALUE),
        ({"more": [f"UID:{UID}"]}, Problem.NO_UID),
        ({"method": "REQUEST"}, Problem.OTHER_METHOD),
        ({"method": "CANCEL"}, Problem.OTHER_METHOD),
        ({"method": "PUBLISH"}, Problem.OTHER_METHOD),
        ({"partstat": "DELEGATED"}, Problem.DELEGATED),
        ({"partstat": "NEEDS-ACTION"}, Problem.NO_ANSWER),
        ({"more": ["REQUEST-STATUS:3.7;Invalid calendar user"]}, Problem.CLIENT_FAILED),
        ({"dtstamp": "yesterday"}, Problem.BROKEN_VALUE),
    ],
)
def test_what_is_no_single_answer_is_named(changes, problem):
    """32: two events, people or UIDs, a series, a broken number, a method of organizers."""
    with pytest.raises(UnusableReply) as refused:
        answer_of(**changes)
    assert refused.value.problem is problem


def test_a_success_status_is_no_failure():
    assert answer_of(more=["REQUEST-STATUS:2.0;Success"]).partstat is PartStat.DECLINED


@given(st.binary(max_size=400))
def test_no_bytes_raise_anything_but_a_named_problem(octets):
    """33: a garbage part."""
    with contextlib.suppress(UnusableReply):
        assert read_answer(octets).uid


@given(st.binary(max_size=2000))
def test_no_mail_raises(octets):
    assert read_mail(octets).kind in Kind


@given(start=st.integers(0, 900), length=st.integers(0, 60), noise=st.binary(max_size=60), attached_too=st.booleans())
def test_no_damage_to_a_mail_raises(start, length, noise, attached_too):
    raw = calendar_mail(reply_calendar(uid=UID, attendee=PERSON), sender=PERSON, attached_too=attached_too)
    assert read_mail(raw[:start] + noise + raw[start + length :]).kind in Kind


def test_a_mail_with_the_answer_inline_and_attached_is_one_answer():
    """20."""
    raw = calendar_mail(reply_calendar(uid=UID, attendee=PERSON), sender=f"Ada <{PERSON}>", attached_too=True)
    read = read_mail(raw)
    assert (read.kind, read.sender, read.answer.uid) == (Kind.ANSWER, PERSON, UID)


def test_a_part_without_method_parameter_is_read_by_its_own_method():
    """34."""
    read = read_mail(calendar_mail(reply_calendar(uid=UID, attendee=PERSON), sender=PERSON, method=None))
    assert read.answer.partstat is PartStat.DECLINED


def test_a_part_in_another_charset_is_read():
    calendar = reply_calendar(uid=UID, attendee=PERSON, more=["COMMENT:Grüße"]).decode().encode("iso-8859-1")
    read = read_mail(calendar_mail(calendar, sender=PERSON, charset="iso-8859-1"))
    assert read.answer.comment == "Grüße"
    wrong = read_mail(calendar_mail(calendar, sender=PERSON, charset="no-such-charset"))
    assert wrong.kind is Kind.ANSWER


@pytest.mark.parametrize(
    ("raw", "problem"),
    [
        (calendar_mail(b"X" * 300 * 1024, sender=PERSON), Problem.TOO_BIG),
        (nested(20, reply_calendar(uid=UID, attendee=PERSON)), Problem.TOO_DEEP),
        (b"X" * (2 * 1024 * 1024 + 1), Problem.TOO_BIG),
        (calendar_mail(b"no calendar", sender=PERSON), Problem.NOT_A_CALENDAR),
    ],
)
def test_giant_deep_and_broken_mails_are_named(raw, problem):
    """33."""
    read = read_mail(raw)
    assert (read.kind, read.problem) == (Kind.UNUSABLE, problem)


def test_an_absence_note_is_automatic_and_a_message_is_personal():
    """35, 37."""
    note = plain_mail("I am away.", sender=PERSON, headers=[("Auto-Submitted", "auto-replied")])
    assert read_mail(note).kind is Kind.AUTOMATIC
    message = read_mail(plain_mail("Is there parking?", sender=PERSON))
    assert (message.kind, message.words) == (Kind.PERSONAL, "Is there parking?")


def test_an_answer_that_a_server_sends_by_itself_is_an_answer():
    """35."""
    raw = calendar_mail(
        reply_calendar(uid=UID, attendee=PERSON), sender=PERSON, headers=[("Auto-Submitted", "auto-generated")]
    )
    assert read_mail(raw).kind is Kind.ANSWER


def test_a_report_is_read():
    """36."""
    bounce = read_mail(delivery_report(status="5.1.1", recipient=PERSON, returned_id="<first@reedcrew.example>")).bounce
    assert bounce.no_such_mailbox
    assert (bounce.recipient, bounce.message_id) == (PERSON, "<first@reedcrew.example>")
    late = read_mail(delivery_report(status="4.2.2", recipient=PERSON, action="delayed")).bounce
    assert not late.is_permanent


# --- Who vouches -----------------------------------------------------------------------------------------------------

RESULT = ("Authentication-Results", "mx.reedcrew.example; dmarc=pass header.from=example.org")
FAILED = ("Authentication-Results", "mx.reedcrew.example; dmarc=fail header.from=example.org")
SIGNED = ("Authentication-Results", "mx.reedcrew.example (1.0); spf=none; dkim=pass header.d=example.org")
OTHERS = ("Authentication-Results", "mx.elsewhere.example; dmarc=pass header.from=example.org")
FOREIGN = ("Authentication-Results", "mx.reedcrew.example; dkim=pass header.d=elsewhere.example")
OURS = ("Received", "from relay.example by mx.reedcrew.example with ESMTPS; Tue, 11 Aug 2026 08:00:00 +0000")
STRANGER = ("Received", "from home.example by relay.example with ESMTP; Tue, 11 Aug 2026 07:59:00 +0000")


@pytest.mark.parametrize(
    ("headers", "verdict"),
    [
        ([RESULT, OURS, STRANGER], Verdict.VOUCHED),
        ([OURS, RESULT, STRANGER], Verdict.VOUCHED),
        ([SIGNED], Verdict.VOUCHED),
        ([FAILED], Verdict.REFUTED),
        ([OTHERS], Verdict.SILENT),
        ([FOREIGN], Verdict.SILENT),
        ([OURS, STRANGER, RESULT], Verdict.SILENT),
        ([], Verdict.SILENT),
    ],
)
def test_only_the_own_server_above_all_strangers_vouches(headers, verdict):
    """31: a forged header, of a stranger's server or below a stranger's line."""
    raw = calendar_mail(reply_calendar(uid=UID, attendee=PERSON), sender=PERSON, headers=headers)
    assert read_mail(raw, trusted=["MX.reedcrew.example"]).verdict is verdict
    assert read_mail(raw).verdict is Verdict.SILENT


# --- Judging ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sender", "verdict", "accepts", "declines"),
    [
        (PERSON, Verdict.VOUCHED, Act.APPLY, Act.APPLY),
        (PERSON, Verdict.SILENT, Act.APPLY, Act.APPLY_WITH_UNDO),
        (PERSON, Verdict.REFUTED, Act.APPLY, Act.HOLD),
        ("other@example.org", Verdict.SILENT, Act.APPLY, Act.HOLD),
        ("other@example.org", Verdict.VOUCHED, Act.APPLY, Act.HOLD),
        ("", Verdict.SILENT, Act.APPLY, Act.HOLD),
    ],
)
def test_the_weight_of_an_answer_follows_who_vouches_for_it(sender, verdict, accepts, declines):
    """21, 30."""
    assert judged(answer_of(partstat="ACCEPTED"), sender=sender, verdict=verdict).act is accepts
    assert judged(answer_of(partstat="TENTATIVE"), sender=sender, verdict=verdict).act is accepts
    assert judged(answer_of(), sender=sender, verdict=verdict).act is declines


def test_who_was_not_invited_changes_nothing():
    """28, 29: an unknown UID, somebody else's name, somebody else's event."""
    assert judged(answer_of(), None).act is Act.IGNORE
    assert judged(answer_of(attendee="other@example.org")).act is Act.NOTE
    assert judged(answer_of(organizer="other@example.org")).why is Why.NOT_OURS
    assert judged(answer_of(organizer="other@example.org")).act is Act.IGNORE


def test_the_address_is_the_same_in_any_case():
    assert judged(answer_of(attendee=PERSON.upper(), organizer=ORGANIZER.upper())).act is Act.APPLY_WITH_UNDO


def test_answers_are_ordered_by_sequence_then_stamp():
    """23, 24."""
    last = (0, datetime.datetime(2026, 8, 11, 8, 0, tzinfo=datetime.UTC))
    assert judged(answer_of(), standing(last=last)).why is Why.ANSWERED_SINCE
    assert judged(answer_of(dtstamp="20260811T075959Z"), standing(last=last)).act is Act.IGNORE
    assert judged(answer_of(dtstamp="20260811T080001Z"), standing(last=last)).act is Act.APPLY_WITH_UNDO
    assert judged(answer_of(sequence=1, dtstamp="20260811T070000Z"), standing(last=last)).act is Act.APPLY_WITH_UNDO


def test_an_answer_to_an_earlier_version_gives_nothing_up():
    """25."""
    assert judged(answer_of(sequence=0), standing(sequence=1)).act is Act.HOLD
    assert judged(answer_of(sequence=0), standing(sequence=1), verdict=Verdict.VOUCHED).act is Act.HOLD
    assert judged(answer_of(sequence=0, partstat="ACCEPTED"), standing(sequence=1)).act is Act.STORE_EARLIER


def test_an_answer_without_sequence_is_placed_by_its_stamp():
    early = answer_of(sequence=None, dtstamp="20260810T110000Z")
    assert judged(early, standing(sequence=1)).why is Why.EARLIER_VERSION
    assert judged(answer_of(sequence=None), standing(sequence=1)).act is Act.APPLY_WITH_UNDO


def test_numbers_far_off_are_not_believed():
    """26, 27: a SEQUENCE far above ours, a stamp in 2099."""
    assert judged(answer_of(sequence=3), standing(sequence=1)).mark[0] == 3
    assert judged(answer_of(sequence=9999), standing(sequence=1)).mark[0] == 1
    late = judged(answer_of(dtstamp="20990101T000000Z"))
    assert late.act is Act.APPLY_WITH_UNDO
    assert late.mark[1] == ARRIVED + datetime.timedelta(minutes=5)


def test_after_the_end_only_who_accepts_is_told():
    assert judged(answer_of(partstat="ACCEPTED"), standing(over=True)).act is Act.TOO_LATE
    assert judged(answer_of(), standing(over=True)).act is Act.IGNORE
    elsewhere = judged(answer_of(partstat="ACCEPTED"), standing(over=True), sender="other@example.org")
    assert elsewhere.act is Act.IGNORE


def test_a_proposal_is_noted_and_a_question_answered():
    """32."""
    assert judged(answer_of(method="COUNTER")).act is Act.NOTE
    assert judged(answer_of(method="REFRESH")).act is Act.RESEND
    assert answer_of(method="COUNTER").asks is Asks.COUNTER
