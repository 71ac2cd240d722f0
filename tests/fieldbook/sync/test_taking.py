"""The rows of a day after any order of requests, and after pages and phones wrote side by side."""

import datetime
import json
import uuid
from random import Random
from typing import Any

import pytest

from reedcrew.fieldbook import services
from reedcrew.fieldbook.in_water import water_state
from reedcrew.fieldbook.models import (
    Attendance,
    BriefingHeard,
    HeadCheck,
    Incident,
    Load,
    PhoneOfDay,
    Submission,
    Tally,
    WaterStint,
)
from reedcrew.fieldbook.sync.contract import read_batch
from reedcrew.fieldbook.sync.taking import Taken, take
from reedcrew.people.models import Account
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.signals import incident_recorded
from tests import factories
from tests.factories import END, START
from tests.fieldbook.sync.crowds import entries_of_phones
from tests.fieldbook.sync.phones import Phone

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
HOUR = datetime.timedelta(hours=1)
ROWS = (Attendance, WaterStint, HeadCheck, BriefingHeard, Tally, Load)
APART = {"_state", "id", "received_at", "phone_id", "offset_s"}


@pytest.fixture
def day() -> WorkDay:
    stand = factories.make_stand(factories.make_group())
    for _zone in range(2):
        factories.make_zone(stand)
    return factories.make_day(stand)


@pytest.fixture
def lead(day) -> Account:
    return factories.account_of(factories.make_member(day.group, role=Role.CREW_LEAD))


def expected(day, **fields):
    member = factories.make_water_member(day.group, **fields)
    factories.make_sign_up(day, member)
    return member


def send(day: WorkDay, phone: Phone, entries: list[Any], author: Account, *, now: datetime.datetime = END) -> Taken:
    body = json.dumps(phone.request(entries, now)).encode()
    return take(day=day, batch=read_batch(body), author=author, now=now)


def ledger(day: WorkDay) -> dict[str, list[dict[str, Any]]]:
    """All rows of a day, what became of each entry too, without what says when and how it arrived."""
    rows: dict[str, Any] = {}
    for model in ROWS:
        found = model._default_manager.filter(day=day).order_by("pk")
        rows[model.__name__] = [
            {name: value for name, value in vars(row).items() if name not in {"_state"}} for row in found
        ]
    sent = Submission.objects.filter(day=day).order_by("entry_id", "digest")
    rows["Submission"] = [{name: value for name, value in vars(row).items() if name not in APART} for row in sent]
    rows["SignUp"] = list(day.sign_ups.order_by("pk").values_list("pk", "outcome"))
    return rows


def differing(before: dict[Any, Any], after: dict[Any, Any]) -> list[tuple[Any, ...]]:
    return [
        (model.__name__, name, one[name], other[name])
        for model in before
        for one, other in zip(before[model], after[model], strict=True)
        for name in one
        if one[name] != other[name]
    ]


def forget(day: WorkDay) -> None:
    for model in (*ROWS, Submission, PhoneOfDay):
        model._default_manager.filter(day=day).delete()
    day.sign_ups.update(outcome=SignUp.Outcome.UNKNOWN)


def test_five_phones_that_send_in_any_order_and_repeat_themselves_leave_the_same_rows(day, lead):
    members = [expected(day).pk for _member in range(12)]
    zones = sorted(day.zones.values_list("pk", flat=True))
    rng = Random(20260815)
    entries = entries_of_phones(rng, number=100, phones=5, members=members, zones=zones)
    phones = [Phone(f"Phone {number}") for number in range(5)]
    send(day, phones[0], [entry for _phone, entry in entries], lead)
    at_once = ledger(day)
    assert len(at_once["Attendance"]) > 10
    assert {each["outcome"] for each in at_once["Submission"]} == {"taken", "conflict", "refused"}
    for _order in range(2):
        forget(day)
        waiting = [*entries, *rng.choices(entries, k=30)]
        rng.shuffle(waiting)
        while waiting:
            size = rng.randint(1, 60)
            batch, waiting = waiting[:size], waiting[size:]
            for number, phone in enumerate(phones):
                if sent := [entry for made_by, entry in batch if made_by == number]:
                    send(day, phone, sent, lead)
        assert ledger(day) == at_once


def test_what_pages_wrote_stands_unchanged_when_a_phone_sends_something_else(day, lead):
    ada, ben, watcher, gone = (expected(day) for _number in range(4))
    zone = day.zones.first()
    page: dict[str, Any] = {"day": day, "actor": lead}
    stays = {
        each: services.sign_in(**page, member=each, in_water=False, at=START, now=START + MINUTE)
        for each in (ada, ben, watcher, gone)
    }
    services.hear_briefing(**page, members=[ada, ben], items=[item.value for item in Item], now=START + 2 * MINUTE)
    pair = [ada, ben]
    for number in range(2):
        at = START + (5 + 20 * number) * MINUTE
        services.go_in(**page, members=pair, zone=zone, unit_number=1, at=at, now=at)
        services.count_heads(**page, seen=2, now=at + MINUTE)
        if number == 0:
            services.come_out(**page, members=pair, at=at + 10 * MINUTE, now=at + 10 * MINUTE)
    services.call_all_out(**page, seen=2, now=START + HOUR)
    tally = services.tally_counted(**page, zone=zone, stems=90, unit_number=1, now=START + HOUR)
    services.tally_bundles(**page, zone=zone, bundles=4, sample=[20, 30], unit_number=1, now=START + HOUR)
    services.record_load(**page, kind="bags", count=2, seed_heads=True, place="Bank", now=START + HOUR)
    services.strike(entry=tally, reason="A zero too many", actor=lead, now=START + HOUR)
    services.sign_out(attendance=stays[ada], at=START + HOUR, actor=lead, now=START + HOUR)
    services.sign_in(**page, member=ada, in_water=False, at=START + HOUR, now=START + HOUR)
    services.strike(entry=stays[gone], reason="Somebody else", actor=lead, now=START + HOUR)
    before = {model: list(model._default_manager.order_by("pk").values()) for model in ROWS}
    send(day, Phone(), [Phone().entry("note", START, text="Mist")], lead)
    after = {model: list(model._default_manager.order_by("pk").values()) for model in ROWS}
    assert differing(before, after) == []
    assert set(Submission.objects.values_list("outcome", flat=True)) == {"taken"}


def test_rows_of_other_hands_are_known_to_the_fold(day, lead):
    member, phone = expected(day), Phone()
    stay = Attendance.objects.create(day=day, member=member, signed_in_at=START, entered_by=lead, entered_at=START)
    again = phone.entry("sign_in", START + MINUTE, member=member.pk)
    send(day, phone, [again, phone.entry("sign_out", START + HOUR, stay=str(stay.pk))], lead)
    assert Attendance.objects.standing().get().minutes == 60
    assert Attendance.objects.get(pk=again["id"]).struck_reason == "Signed in twice: the earlier time stands."


def test_an_incident_is_told_once(day, lead):
    told: list[str] = []

    def hear(sender: object, *, kind: str, **_said: Any) -> None:
        told.append(kind)

    incident_recorded.connect(hear)
    try:
        phone = Phone()
        sent = [phone.entry("incident", START, kind="injury", what="Cut finger")]
        for _time in range(2):
            send(day, phone, sent, lead)
    finally:
        incident_recorded.disconnect(hear)
    assert (told, Incident.objects.count()) == (["injury"], 1)


def test_whoever_did_not_come_is_told_to_the_plan_and_whoever_came_after_all_too(day, lead):
    member, phone = expected(day), Phone()
    send(day, phone, [phone.entry("absent", START + HOUR, member=member.pk)], lead)
    assert member.sign_ups.get().outcome == "absent"
    send(day, phone, [phone.entry("sign_in", START + 30 * MINUTE, member=member.pk)], lead)
    assert member.sign_ups.get().outcome == SignUp.Outcome.UNKNOWN


def test_a_phone_is_remembered_by_its_name_its_user_and_its_clock(day, lead):
    phone = Phone("Blue phone", ahead=2 * HOUR)
    send(day, phone, [], lead, now=START)
    send(day, phone, [], lead, now=END)
    row = PhoneOfDay.objects.get()
    assert (row.key, row.name, row.first_at, row.last_at, row.offset_s) == (phone.key, "Blue phone", START, END, -7200)


def test_an_entry_that_two_phones_made_stays_with_both_versions(day, lead):
    member, one, other = expected(day), Phone("One"), Phone("Other")
    first, second = (
        one.entry("sign_in", START, member=member.pk),
        other.entry("sign_in", START + MINUTE, member=member.pk),
    )
    send(day, other, [second], lead)
    send(day, one, [first], lead)
    assert [str(stay.pk) for stay in Attendance.objects.standing()] == [first["id"]]
    shown = Submission.objects.get(outcome="conflict")
    assert (shown.entry_id, shown.other_id, shown.phone) == (
        uuid.UUID(second["id"]),
        uuid.UUID(first["id"]),
        PhoneOfDay.objects.get(name="Other"),
    )


def test_a_count_that_left_out_the_unit_of_another_phone_starts_no_interval_anew(day, lead):
    ada, ben, cleo, dan = (expected(day).pk for _number in range(4))
    zone = day.zones.first().pk
    near, far = Phone("Near"), Phone("Far")
    count = far.entry("head_check", START + 15 * MINUTE, seen=2, expected=2)
    send(day, far, [far.entry("water_in", START + 2 * MINUTE, members=[cleo, dan], zone=zone, unit=2), count], lead)
    interval = policy_of(day.group).headcount_minutes * MINUTE
    at = START + 16 * MINUTE
    assert water_state(day, at).due_at == START + 15 * MINUTE + interval  # as far as anybody knows

    send(day, near, [near.entry("water_in", START + MINUTE, members=[ada, ben], zone=zone, unit=1)], lead)
    assert (HeadCheck.objects.get().seen, HeadCheck.objects.get().expected) == (2, 4)
    assert water_state(day, at).due_at == START + MINUTE + interval

    send(day, near, [near.entry("head_check", START + 18 * MINUTE, seen=4, expected=4)], lead)
    assert water_state(day, at).due_at == START + 18 * MINUTE + interval


def test_an_all_out_of_a_phone_that_did_not_know_of_a_unit_leaves_that_unit_in_water(day, lead):
    ada, ben, cleo, dan = (expected(day).pk for _number in range(4))
    zone = day.zones.first().pk
    near, far = Phone("Near"), Phone("Far")
    out = far.entry("all_out", START + 15 * MINUTE, count=2, expected=2)
    send(day, far, [far.entry("water_in", START + MINUTE, members=[ada, ben], zone=zone, unit=1), out], lead)
    assert water_state(day, START + 16 * MINUTE).count == 0

    send(day, near, [near.entry("water_in", START + 5 * MINUTE, members=[cleo, dan], zone=zone, unit=2)], lead)
    count = HeadCheck.objects.get()
    assert (count.seen, count.expected, count.all_out, count.agrees) == (2, 4, True, False)
    assert water_state(day, START + 16 * MINUTE).count == 4  # until they are seen
