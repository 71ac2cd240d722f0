"""Which change raises SEQUENCE, voids an answer and sends a mail; and how SEQUENCE and DTSTAMP grow."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.invites.calendar.events import Method, PartStat, Status, Transparency
from reedcrew.invites.calendar.rules import (
    CONSEQUENCES,
    Change,
    ContentMarks,
    Letter,
    change_kind,
    next_dtstamp,
    next_sequence,
    partstat_after,
    sequence_after,
)
from tests.invites.events import BERLIN, STAMP, an_event

WAITING = {"status": Status.TENTATIVE, "transparency": Transparency.TRANSPARENT}
PLACED: dict[str, Any] = {}


def kind(old: dict[str, Any], new: dict[str, Any]) -> Change:
    return change_kind(ContentMarks.of(an_event(**old)), ContentMarks.of(an_event(**new)))


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        ({}, {"start": datetime(2026, 8, 15, 8, tzinfo=BERLIN)}, Change.TIME),
        ({}, {"end": datetime(2026, 8, 15, 13, tzinfo=BERLIN)}, Change.TIME),
        ({}, {"start": date(2026, 8, 15), "end": date(2026, 8, 15)}, Change.TIME),
        (
            {},
            {
                "start": datetime(2026, 8, 15, 9, tzinfo=ZoneInfo("Europe/Vienna")),
                "end": datetime(2026, 8, 15, 12, 30, tzinfo=ZoneInfo("Europe/Vienna")),
            },
            Change.TIME,  # the same instants, told in another zone
        ),
        ({}, {"location": "South landing"}, Change.MEETING_POINT),
        ({}, {"latitude": 52.6}, Change.MEETING_POINT),
        ({}, {"latitude": None, "longitude": None}, Change.MEETING_POINT),
        ({}, {"summary": "Reed cutting"}, Change.TEXT),
        ({}, {"description": "Bring boots and a hat."}, Change.TEXT),
        ({}, {"url": "https://reedcrew.example/days/18/"}, Change.TEXT),
        ({}, {"description": "Bring  boots. \n\nBring water.\n"}, Change.NOTHING),
        ({}, {"latitude": 52.5123400001}, Change.NOTHING),
        ({}, {}, Change.NOTHING),
        ({}, {"sequence": 4, "dtstamp": STAMP + timedelta(1), "partstat": PartStat.DECLINED}, Change.NOTHING),
        (WAITING, PLACED, Change.PLACED),
        (PLACED, WAITING, Change.STANDING),
        (PLACED, {"status": Status.CANCELLED}, Change.STANDING),
        (WAITING, {"start": datetime(2026, 8, 15, 8, tzinfo=BERLIN)}, Change.TIME),
        (WAITING, {"location": "South landing"}, Change.PLACED),
        ({}, {"location": "South landing", "summary": "Reed cutting"}, Change.MEETING_POINT),
    ],
)
def test_the_kind_of_a_change_is_that_of_its_heaviest_part(
    old: dict[str, Any], new: dict[str, Any], change: Change
) -> None:
    assert kind(old, new) is change


@pytest.mark.parametrize(
    ("change", "raises", "partstat", "method", "letter"),
    [
        # RFC 5546 section 2.1.4: time, status and every cancellation must raise SEQUENCE.
        (Change.TIME, True, PartStat.NEEDS_ACTION, Method.REQUEST, Letter.CHANGED),
        (Change.PLACED, True, PartStat.ACCEPTED, Method.REQUEST, Letter.INVITED),
        (Change.STANDING, True, PartStat.TENTATIVE, Method.REQUEST, Letter.CHANGED),
        (Change.WITHDRAWN, True, PartStat.TENTATIVE, Method.CANCEL, Letter.WITHDRAWN),
        (Change.CANCELLED, True, PartStat.TENTATIVE, Method.CANCEL, Letter.CANCELLED),
        # The same section's example of a change that endangers the answer: another place.
        (Change.MEETING_POINT, True, PartStat.TENTATIVE, Method.REQUEST, Letter.CHANGED),
        # Everything else keeps it.
        (Change.SIGNED_UP, False, PartStat.ACCEPTED, Method.REQUEST, Letter.INVITED),
        (Change.ASKED, False, PartStat.NEEDS_ACTION, Method.REQUEST, Letter.INVITED),
        (Change.TEXT, False, PartStat.TENTATIVE, Method.REQUEST, Letter.UPDATED),
        (Change.RESEND, False, PartStat.TENTATIVE, Method.REQUEST, Letter.INVITED),
        (Change.NOTHING, False, PartStat.TENTATIVE, Method.REQUEST, None),
    ],
)
def test_each_change_has_its_consequence(
    change: Change, raises: bool, partstat: PartStat, method: Method, letter: Letter | None
) -> None:
    assert sequence_after(change, 5) == (6 if raises else 5)
    assert partstat_after(change, PartStat.TENTATIVE) is partstat
    assert (CONSEQUENCES[change].method, CONSEQUENCES[change].letter) == (method, letter)


def test_no_change_is_without_consequence() -> None:
    assert set(CONSEQUENCES) == set(Change)


def test_the_hash_of_the_content_tells_content_apart_and_nothing_else() -> None:
    content = ContentMarks.of(an_event()).content_hash
    assert len(content) == 64
    assert ContentMarks.of(an_event(sequence=9, partstat=PartStat.DECLINED, alarm=False)).content_hash == content
    for change in (
        {"location": "South landing"},
        {"summary": "Other"},
        {"end": datetime(2026, 8, 15, 13, tzinfo=BERLIN)},
        WAITING,
    ):
        assert ContentMarks.of(an_event(**change)).content_hash != content


def test_marks_come_back_from_storage() -> None:
    marks = ContentMarks.of(an_event())
    assert ContentMarks.stored(marks.as_dict()) == marks
    with pytest.raises(TypeError):
        ContentMarks.stored({"time": "x"})


@pytest.mark.parametrize(
    ("ours", "replied", "following"),
    [
        (0, [], 1),
        (1, [0, 1], 2),
        (1, [3], 4),  # a client raised it when it answered
        (1, [9999], 2),  # a number far off changes nothing
        (1, [3, 9999], 4),
        (1, [11], 12),
        (1, [12], 2),
    ],
)
def test_the_next_sequence_is_above_ours_and_above_believable_replies(
    ours: int, replied: list[int], following: int
) -> None:
    assert next_sequence(ours, replied=replied) == following


def test_an_update_that_would_keep_sequence_still_passes_a_reply_above_ours() -> None:
    assert sequence_after(Change.TEXT, 1, replied=[3]) == 4
    assert sequence_after(Change.TEXT, 1, replied=[1]) == 1


def test_a_negative_sequence_is_refused() -> None:
    with pytest.raises(ValueError, match="SEQUENCE"):
        next_sequence(-1)


NOW = datetime(2026, 6, 1, 8, 30, 15, 987_654, tzinfo=UTC)


@pytest.mark.parametrize(
    ("last", "stamp"),
    [
        (None, NOW.replace(microsecond=0)),
        (NOW - timedelta(days=1), NOW.replace(microsecond=0)),
        # Twice within a second, and after a clock was set back: RFC 5546 section 2.1.5 orders by DTSTAMP.
        (NOW.replace(microsecond=0), NOW.replace(microsecond=0) + timedelta(seconds=1)),
        (NOW.replace(microsecond=0) + timedelta(hours=1), NOW.replace(microsecond=0) + timedelta(hours=1, seconds=1)),
    ],
)
def test_each_dtstamp_is_later_than_the_last(last: datetime | None, stamp: datetime) -> None:
    assert next_dtstamp(NOW, last) == stamp
    assert next_dtstamp(NOW.astimezone(BERLIN), last) == stamp


EARLIEST, LATEST = datetime(2020, 1, 1), datetime(2030, 1, 1)  # noqa: DTZ001  # the strategy adds the zone itself


@given(st.lists(st.datetimes(timezones=st.just(UTC), min_value=EARLIEST, max_value=LATEST), min_size=2))
def test_dtstamps_rise_whatever_the_clock_does(moments: list[datetime]) -> None:
    last: datetime | None = None
    for now in moments:
        stamp = next_dtstamp(now, last)
        assert stamp.microsecond == 0
        assert last is None or stamp > last
        assert stamp >= now.replace(microsecond=0)
        last = stamp


def test_a_dtstamp_needs_to_know_its_zone() -> None:
    with pytest.raises(ValueError, match="aware"):
        next_dtstamp(NOW.replace(tzinfo=None), None)
    with pytest.raises(ValueError, match="aware"):
        next_dtstamp(NOW, NOW.replace(tzinfo=None))
