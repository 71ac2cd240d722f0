"""What phones send over the line, badly made requests too: nothing is lost, and every answer can be read."""

import datetime
import io
import json
import uuid

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image

from reedcrew.fieldbook import services
from reedcrew.fieldbook.errors import StillInWater
from reedcrew.fieldbook.models import (
    Attendance,
    DayPhoto,
    Incident,
    Load,
    PhoneOfDay,
    Submission,
    Tally,
    WaterStint,
)
from reedcrew.people.models import Member, PrivateLook, PrivateRecord
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from tests import factories
from tests.factories import END, START
from tests.fieldbook.sync.phones import Phone

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
HOUR = datetime.timedelta(hours=1)
NOON = START + 3 * HOUR


@pytest.fixture
def lead(group):
    return factories.make_member(group, name="Lena Lead", role=Role.CREW_LEAD)


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand)


@pytest.fixture
def client(lead):
    client = Client()
    client.force_login(lead.account)
    return client


@pytest.fixture
def phone():
    return Phone()


@pytest.fixture(autouse=True)
def at_noon():
    with time_machine.travel(NOON, tick=False):
        yield


def expected(day, **fields) -> Member:
    member = factories.make_water_member(day.group, **fields)
    factories.make_sign_up(day, member)
    return member


def outcomes(response) -> list[str]:
    assert response.status_code == 200, response.content
    return [answer["outcome"] for answer in response.json()["entries"]]


def test_a_morning_without_a_network_arrives_whole(client, day, phone):
    ada, ben = expected(day, name="Ada"), expected(day, name="Ben")
    zone = day.zones.get()
    came = [phone.entry("sign_in", START, member=each.pk, in_water=True) for each in (ada, ben)]
    pair = [ada.pk, ben.pk]
    sent = [
        *came,
        phone.entry("briefing_heard", START + 5 * MINUTE, items=[item.value for item in Item], members=pair),
        phone.entry("water_in", START + 10 * MINUTE, members=pair, zone=zone.pk, unit=1),
        phone.entry("head_check", START + 30 * MINUTE, seen=2, expected=2),
        phone.entry("all_out", START + HOUR, count=2, expected=2),
        phone.entry("tally", START + HOUR, zone=zone.pk, unit=1, bundles=5, sample=[200, 210, 190]),
        phone.entry("load", START + HOUR, **{"as": "bags"}, count=4, seed_heads=True, place="South bank"),
        phone.entry("incident", START + HOUR, kind="near_miss", what="Slipped on the ramp", who="Ada"),
        phone.entry("note", START + HOUR, text="The ramp is muddy."),
        phone.entry("sign_out", START + 2 * HOUR, stay=came[0]["id"]),
    ]
    answer = phone.send(client, day, sent, NOON)
    assert outcomes(answer) == ["taken"] * len(sent)
    state = answer.json()["state"]
    assert {stay["name"]: stay["signed_out_at"] for stay in state["stays"]} == {
        "Ada": "2026-08-15T15:00:00Z",
        "Ben": None,
    }
    assert (state["water"], state["heard"], state["to_look_at"]) == ([], sorted(pair), 0)
    assert [load["sun_until"] for load in state["loads"]] == ["2026-08-29"]
    assert Attendance.objects.get(pk=came[0]["id"]).minutes == 120
    assert set(WaterStint.objects.values_list("out_at", flat=True)) == {START + HOUR}
    assert Tally.objects.get().stems == 1000
    incident = Incident.objects.get()
    assert (incident.what, incident.happened_at) == ("Slipped on the ramp", START + HOUR)
    assert "Slipped" not in json.dumps(list(Submission.objects.values_list("data", flat=True)))


def test_what_arrives_again_is_answered_and_changes_nothing(client, day, phone):
    member = expected(day)
    sent = [phone.entry("sign_in", START, member=member.pk), phone.entry("note", START, text="Mist")]
    first = phone.send(client, day, sent, NOON)
    again = phone.send(client, day, [*sent, sent[0]], NOON)
    assert (outcomes(first), outcomes(again)) == (["taken", "taken"], ["again"] * 3)
    assert (Attendance.objects.count(), Submission.objects.count()) == (1, 2)


def test_an_id_that_comes_back_with_other_words_is_kept_and_shown(client, day, phone):
    key, zone = uuid.uuid4(), day.zones.get().pk
    sent = [phone.entry("tally", START + n * MINUTE, key, zone=zone, stems=100 * (n + 1)) for n in range(2)]
    assert outcomes(phone.send(client, day, sent[1:], NOON)) == ["taken"]
    assert outcomes(phone.send(client, day, sent[:1], NOON)) == ["conflict"]
    assert Tally.objects.get().stems == 100  # written first, though it came last
    assert set(Submission.objects.values_list("outcome", "code")) == {
        ("conflict", "other_version"),
        ("refused", "other_version"),
    }


def test_a_badly_made_entry_is_kept_and_the_others_go_on(client, day, phone):
    zone = day.zones.get().pk
    bad = [
        "no entry",
        {"id": "7"},
        phone.entry("dance", START),
        phone.entry("tally", START, zone=zone, stems=-1),
        phone.entry("tally", START, zone=zone, bundles=2, sample=[9000]),
        phone.entry("tally", START, zone=zone + 999, stems=1),
        phone.entry("sign_in", START, member=2**40),
        phone.entry("sign_in", START, member=999_999),
        phone.entry("load", START, **{"as": "pile"}, count=1, seed_heads=True, place="Bank"),
        {**phone.entry("note", START, text="x"), "at": "yesterday"},
        phone.entry("note", START, text="x" * 30_000),
    ]
    answer = phone.send(client, day, [*bad, phone.entry("tally", START, zone=zone, stems=7)], NOON)
    assert outcomes(answer) == ["refused"] * len(bad) + ["taken"]
    fields = [each["field"] for each in answer.json()["entries"]]
    assert fields == [
        *("id", "id", "kind", "data.stems", "data.sample[0]", "data.zone", "data.member", "data.member"),
        *("data.as", "at", "data", ""),
    ]
    assert all(each["sentence"] for each in answer.json()["entries"][:-1])
    assert (Submission.objects.count(), Tally.objects.get().stems) == (len(bad) + 1, 7)


def test_signs_that_no_database_keeps_do_no_harm(client, day, phone):
    sent = phone.entry("load", START, **{"as": "pile"}, count=1, seed_heads=False, place="Ba\0nk \ud83c")
    assert outcomes(phone.send(client, day, [sent], NOON)) == ["taken"]
    assert Load.objects.get().place == "Bank"


PHONE = "00000000-0000-4000-8000-000000000000"


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ("{", ""),
        ("[]", ""),
        ("[" * 100_000, ""),
        ('{"phone": NaN}', ""),
        ('{"phone": "me"}', "phone"),
        (f'{{"phone": "{PHONE}", "sent_at": "noon"}}', "sent_at"),
        (f'{{"phone": "{PHONE}", "sent_at": "2026-08-15T13:00:00Z", "entries": 3}}', "entries"),
    ],
    ids=["cut off", "a list", "too deep", "not a number", "no phone", "no time", "no list of entries"],
)
def test_a_request_that_is_none_names_the_field(client, day, body, field):
    address = reverse("fieldbook:sync", args=[day.group.slug, day.pk])
    answer = client.post(address, data=body, content_type="application/json")
    assert (answer.status_code, answer.json()["error"]["field"]) == (400, field)
    assert not Submission.objects.exists()


def test_a_phone_with_a_wrong_clock_is_put_right_and_both_times_stay(client, day):
    member, fast = expected(day), Phone(ahead=7 * HOUR)
    answer = fast.send(client, day, [fast.entry("sign_in", START, member=member.pk)], NOON)
    assert (outcomes(answer), answer.json()["offset_s"]) == (["taken"], -7 * 3600)
    sent = Submission.objects.get()
    assert (sent.phone_at, sent.at, sent.offset_s) == (START + 7 * HOUR, START, -7 * 3600)
    assert Attendance.objects.get().signed_in_at == START
    assert PhoneOfDay.objects.get().offset_s == -7 * 3600


def test_a_time_that_cannot_be_is_written_down_for_the_nearest_one_and_shown(client, day, phone):
    member = expected(day)
    answer = phone.send(client, day, [phone.entry("sign_in", NOON + HOUR, member=member.pk)], NOON)
    assert (outcomes(answer), answer.json()["entries"][0]["code"]) == (["conflict"], "time_unlikely")
    assert Attendance.objects.get().signed_in_at == NOON


def test_a_sign_out_that_arrives_before_its_sign_in_waits_for_it(client, day, phone):
    member = expected(day)
    came = phone.entry("sign_in", START, member=member.pk)
    left = phone.entry("sign_out", START + HOUR, stay=came["id"])
    early = phone.send(client, day, [left], NOON)
    assert (outcomes(early), early.json()["entries"][0]["code"]) == (["refused"], "stay_unknown")
    phone.send(client, day, [came], NOON)
    assert Attendance.objects.get().minutes == 60
    assert not Submission.objects.exclude(outcome="taken").exists()


def test_an_entry_for_a_closed_day_is_kept_and_refused_but_an_incident_is_taken(client, day, lead, phone):
    member = expected(day)
    services.close(day=day, actor=lead.account, now=NOON)
    sent = [
        phone.entry("sign_in", START, member=member.pk),
        phone.entry("incident", START, kind="injury", what="Cut finger"),
    ]
    answer = phone.send(client, day, sent, NOON)
    assert outcomes(answer) == ["refused", "taken"]
    assert answer.json()["entries"][0]["code"] == "fieldbook_closed"
    assert (Attendance.objects.count(), Incident.objects.count(), Submission.objects.count()) == (0, 1, 2)


def test_an_expired_session_is_told_as_such_and_nothing_is_kept(day, phone):
    answer = phone.send(Client(), day, [phone.entry("note", START, text="Mist")], NOON)
    assert (answer.status_code, answer.json()["error"]["code"]) == (401, "signed_out")
    assert not Submission.objects.exists()


def test_a_token_of_an_earlier_session_is_told_apart_and_day_json_has_the_new_one(day, lead, phone):
    client = Client(enforce_csrf_checks=True)
    client.force_login(lead.account)
    sent = [phone.entry("note", START, text="Mist")]
    answer = phone.send(client, day, sent, NOON)
    assert (answer.status_code, answer.json()["error"]["code"]) == (403, "csrf")
    token = client.get(reverse("fieldbook:day_json", args=[day.group.slug, day.pk])).headers["X-CSRFToken"]
    taken = client.post(
        reverse("fieldbook:sync", args=[day.group.slug, day.pk]),
        data=json.dumps(phone.request(sent, NOON)),
        content_type="application/json",
        headers={"X-CSRFToken": token},
    )
    assert outcomes(taken) == ["taken"]


def test_roles_and_other_groups_are_told_apart(group, day, phone):
    volunteer, stranger = Client(), Client()
    volunteer.force_login(factories.make_member(group).account)
    stranger.force_login(factories.make_member(factories.make_group(), role=Role.CREW_LEAD).account)
    for client, status, code in ((volunteer, 403, "not_yours"), (stranger, 404, "no_such_day")):
        answer = phone.send(client, day, [], NOON)
        assert (answer.status_code, answer.json()["error"]["code"]) == (status, code)


def test_a_request_that_is_too_long_is_told_so(client, day, phone):
    answer = phone.send(client, day, ["x" * 3_000_000], NOON)
    assert (answer.status_code, answer.json()["error"]["code"]) == (413, "too_large")
    many = phone.send(client, day, [{}] * 2001, NOON)
    assert (many.status_code, many.json()["error"]["code"]) == (413, "too_many")


def test_an_id_of_another_day_is_refused(client, day, phone):
    other = factories.make_day(day.stand)
    sent = [phone.entry("note", START, text="Mist")]
    phone.send(client, other, sent, NOON)
    answer = phone.send(client, day, sent, NOON)
    assert (outcomes(answer), answer.json()["entries"][0]["code"]) == (["refused"], "entry_of_another_day")


# --- Newcomers -------------------------------------------------------------------------------------------------------


def newcomer(phone, at, **said):
    return phone.entry("walk_up", at, **{"name": "Nora New", "adult": True, "consent": False, **said})


def test_a_newcomer_of_a_phone_has_a_place_on_land_and_leaves_by_the_id_of_the_phone(client, day, phone):
    came = newcomer(phone, START, emergency_name="Olaf", emergency_phone="555 0100")
    left = phone.entry("sign_out", START + HOUR, stay=came["id"])
    assert outcomes(phone.send(client, day, [left, came], NOON)) == ["taken", "taken"]
    stay = Attendance.objects.get()
    assert (stay.member.name, stay.minutes, str(stay.pk)) == ("Nora New", 60, came["id"])
    assert stay.member.sign_ups.get().state == "confirmed"
    assert PrivateRecord.objects.get(member=stay.member).emergency_name == "Olaf"
    assert outcomes(phone.send(client, day, [came], NOON)) == ["again"]
    assert Member.objects.filter(name="Nora New").count() == 1


def test_a_newcomer_under_18_without_a_guardian_is_kept_for_a_person_to_look_at(client, day, phone):
    answer = phone.send(client, day, [newcomer(phone, START, adult=False)], NOON)
    told = answer.json()["entries"][0]
    assert (told["outcome"], told["code"]) == ("refused", "guardian_needed")
    assert "Nora New" in told["sentence"]


def test_somebody_without_a_place_is_on_site_all_the_same(client, day, phone):
    day.land_places = 0
    day.save()
    member = factories.make_member(day.group)
    answer = phone.send(client, day, [phone.entry("sign_in", START, member=member.pk)], NOON)
    assert (outcomes(answer), answer.json()["entries"][0]["code"]) == (["conflict"], "no_place")
    assert Attendance.objects.get().member == member


# --- The day for a phone ---------------------------------------------------------------------------------------------


def test_a_phone_gets_what_the_day_needs_and_no_contacts(client, day):
    member = expected(day, name="Ada")
    PrivateRecord.objects.filter(member=member).update(emergency_phone="555 0199")
    answer = client.get(reverse("fieldbook:day_json", args=[day.group.slug, day.pk]))
    said = answer.json()
    assert [(each["name"], each["adult"], each["place_state"]) for each in said["roster"]] == [
        ("Ada", True, "confirmed")
    ]
    assert [item["id"] for item in said["briefing"]] == [item.value for item in Item]
    assert (said["headcount_minutes"], said["forget_at"]) == (20, "2026-08-16T17:00:00+00:00")
    assert "555 0199" not in answer.content.decode()
    assert "no-store" in answer.headers["Cache-Control"]


def test_the_day_takes_as_many_queries_for_23_people_as_for_3(client, day):
    address = reverse("fieldbook:day_json", args=[day.group.slug, day.pk])
    counts = []
    for more in (3, 20):
        for _number in range(more):
            services.sign_in(day=day, member=expected(day), in_water=False, at=START, actor=day.posted_by, now=START)
        client.get(address)
        with CaptureQueriesContext(connection) as taken:
            client.get(address)
        counts.append(len(taken))
    assert counts[0] == counts[1]


def test_contacts_are_given_in_the_permitted_time_and_each_look_is_recorded(client, day, lead):
    member = expected(day, name="Ada")
    PrivateRecord.objects.filter(member=member).update(emergency_phone="555 0199")
    address = reverse("fieldbook:contacts_json", args=[day.group.slug, day.pk])
    assert [each["emergency_phone"] for each in client.get(address).json()["contacts"]] == ["555 0199"]
    assert PrivateLook.objects.get().member == member
    with time_machine.travel(START + datetime.timedelta(days=9), tick=False):
        client.force_login(lead.account)  # the session of the day is over by then
        answer = client.get(address)
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "private_closed")


# --- Photos ----------------------------------------------------------------------------------------------------------


def picture() -> io.BytesIO:
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "green").save(file, "JPEG")
    file.name = "before.jpg"
    file.seek(0)
    return file


def send_photo(client, day, phone, file, **said):
    fields = {
        "id": str(uuid.uuid4()),
        "phone": str(phone.key),
        "kind": "before",
        "zone": str(day.zones.get().pk),
        "at": START.isoformat(),
        "sent_at": NOON.isoformat(),
        **said,
    }
    return client.post(reverse("fieldbook:photo", args=[day.group.slug, day.pk]), {**fields, "photo": file})


def test_a_photo_is_written_anew_and_kept_once(client, day, phone, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    key = str(uuid.uuid4())
    answers = [send_photo(client, day, phone, picture(), id=key).json() for _time in range(2)]
    assert [each["outcome"] for each in answers] == ["taken", "again"]
    kept = DayPhoto.objects.get()
    assert (str(kept.pk), kept.kind, kept.entered_at) == (key, "before", START)
    assert len(list(tmp_path.rglob("*.jpg"))) == 2


def test_a_photo_of_40_mb_is_refused_with_a_sentence_and_nothing_is_kept(client, day, phone, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    large = io.BytesIO(b"\xff\xd8" + bytes(40 * 1024 * 1024))
    large.name = "large.jpg"
    answer = send_photo(client, day, phone, large)
    assert (answer.status_code, answer.json()["error"]["code"]) == (413, "photo_too_large")
    assert "15 MB" in answer.json()["error"]["sentence"]
    assert not Submission.objects.exists()


@pytest.mark.parametrize(
    ("said", "field"),
    [({"kind": "selfie"}, "kind"), ({"zone": "0"}, "zone"), ({"at": "noon"}, "at"), ({"id": "1"}, "id")],
)
def test_a_photo_that_is_badly_told_names_the_field(client, day, phone, said, field):
    answer = send_photo(client, day, phone, picture(), **said)
    assert (answer.status_code, answer.json()["error"]["field"]) == (400, field)


def test_a_file_that_is_no_photo_is_told_so(client, day, phone):
    junk = io.BytesIO(b"not a photo")
    junk.name = "x.jpg"
    answer = send_photo(client, day, phone, junk)
    assert (answer.status_code, answer.json()["error"]["code"]) == (400, "photo_not_readable")
    assert not DayPhoto.objects.exists()


def test_the_day_ends_with_everybody_out(client, day, lead, phone):
    ada, ben = expected(day), expected(day)
    came = [phone.entry("sign_in", START, member=each.pk, in_water=True) for each in (ada, ben)]
    went = phone.entry("water_in", START + MINUTE, members=[ada.pk, ben.pk], zone=day.zones.get().pk, unit=1)
    left = [phone.entry("sign_out", START + HOUR, stay=each["id"]) for each in came]
    answer = phone.send(client, day, [*came, went, *left], NOON)
    assert [each["code"] for each in answer.json()["entries"]][-2:] == ["still_in_water"] * 2
    with pytest.raises(StillInWater):
        services.close(day=day, actor=lead.account, now=END)
