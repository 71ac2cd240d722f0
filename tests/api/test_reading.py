"""What a program reads: its own group, by its scopes, a page at a time."""

import datetime
import functools

import pytest
import time_machine
from django.core.cache import cache
from openapi_spec_validator import validate

from reedcrew.api.models import ApiToken
from reedcrew.api.scopes import Scope
from reedcrew.api.v1 import access
from reedcrew.people.models import AuditEntry
from reedcrew.stands.services import remove_zone
from tests import factories
from tests.api.rows import make_bay, make_token, program
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

LISTS = ("stands", "days", "plans", "hours")


@pytest.fixture(autouse=True)
def at_the_moment_of_the_rows(settings):
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "quota"}}
    cache.clear()
    with time_machine.travel(NOW, tick=False):
        yield


def read(client, address, **asked):
    answer = client.get(f"/api/v1/{address}", asked)
    assert answer.status_code == 200, answer.text
    return answer.json()


def ids(page):
    return [row["id"] for row in page["data"]]


def test_the_description_is_valid_by_an_independent_validator(client):
    answer = client.get("/api/v1/openapi.json")
    assert answer.status_code == 200
    described = answer.json()
    validate(described)
    assert described["openapi"].startswith("3.1")
    assert set(described["paths"]) == {
        "/api/v1/token",
        "/api/v1/stands",
        "/api/v1/stands/{pk}",
        "/api/v1/days",
        "/api/v1/days/{pk}",
        "/api/v1/days/{pk}/plan",
        "/api/v1/plans",
        "/api/v1/hours",
        "/api/v1/hours/{pk}",
    }
    assert set(described["webhooks"]) == {"day.posted", "day.closed"}


def test_a_token_reads_its_own_group_alone():
    own, other = make_bay(), make_bay(first=1000)
    _token, secret = make_token(own.organizer)
    reader = program(secret)
    for name in LISTS:
        assert ids(read(reader, name))
        assert all(key < 1000 for key in ids(read(reader, name)))
    for address in (
        f"stands/{other.stand.pk}",
        f"days/{other.closed.pk}",
        f"days/{other.posted.pk}/plan",
        "hours/1901",
        "hours/987654321",
        f"days/{2**70}",
        "no-such-thing",
    ):
        answer = reader.get(f"/api/v1/{address}")
        assert answer.status_code == 404
        assert answer["Content-Type"] == "application/problem+json"
        assert answer.json()["detail"] == "There is nothing here, or not in the group of this token."


def test_density_and_its_interval_are_those_of_the_quadrats():
    bay = make_bay()
    _token, secret = make_token(bay.organizer, Scope.STANDS)
    (stand,) = read(program(secret), "stands")["data"]
    water = next(zone for zone in stand["zones"] if zone["name"] == "Inner water")
    # Mean 24.5, sd 4.7510 of 8 quadrats of 1 m² of 400: Student's t(0.975; 7) = 2.3646 with the finite population
    # factor sqrt(1 - 8/400): half-width 3.93 (tables of t; Thompson, Sampling, 3rd ed., 2.3).
    assert water["density"] == {
        "stems_per_m2": 24.5,
        "stems_per_m2_low": pytest.approx(24.5 - 3.93, abs=0.02),
        "stems_per_m2_high": pytest.approx(24.5 + 3.93, abs=0.02),
        "confidence_percent": 95,
        "quadrats": 8,
        "quadrat_m2": 1.0,
        "surveyed_on": "2026-07-10",
    }
    assert (water["stems"], water["stems_known_by"], water["surveyed_depth_cm"]) == (9800, "quadrats", 60)
    assert (stand["stems"]["stems"], stand["stems"]["estimated_by_eye_stems"]) == (11300, 1500)
    assert stand["outline"] is None
    with_outlines = program(make_token(bay.organizer, Scope.STANDS, Scope.OUTLINES, number=2)[1])
    (drawn,) = read(with_outlines, "stands")["data"]
    assert drawn["outline"]["type"] == "Polygon"


def test_a_day_tells_numbers_and_never_who():
    bay = make_bay()
    reader = program(make_token(bay.organizer)[1])
    day = read(reader, f"days/{bay.closed.pk}")
    counts = ("water_confirmed", "worked_in_water", "worked_on_land", "did_not_come", "stems_cut")
    assert [day[name] for name in counts] == [3, 2, 0, 1, 1240]
    assert (day["starts_at"], day["date"]) == ("2026-08-08T09:00:00-04:00", "2026-08-08")
    coming = read(reader, f"days/{bay.posted.pk}")
    assert [coming[name] for name in counts] == [4, None, None, None, None]
    whole = reader.get("/api/v1/days").text
    assert not [name for name in ("Ash", "Fern", "Wren", "4KQ7MX2P", "@example.org") if name in whole]


def test_people_are_codes_unless_the_scope_opens_names_and_children_always_are():
    bay = make_bay()
    scopes = (Scope.PLANS, Scope.HOURS)
    plain = program(make_token(bay.organizer, *scopes)[1])
    named = program(make_token(bay.organizer, *scopes, Scope.NAMES, number=2)[1])
    for address in ("plans", "hours"):
        assert "4KQ7MX2P" in plain.get(f"/api/v1/{address}").text
        assert "Ash Rowan" not in plain.get(f"/api/v1/{address}").text
        assert "Ash Rowan" in named.get(f"/api/v1/{address}").text
        assert "Wren" not in named.get(f"/api/v1/{address}").text
    plan = read(named, f"days/{bay.posted.pk}/plan")
    assert plan["told"]
    assert [person["code"] for person in plan["units"][0]["people"]] == ["4KQ7MX2P", "9TWB3HCR"]
    assert [(each["role"], each["person"]["name"]) for each in plan["shore"]] == [
        ("spotter", "Reed Sedge"),
        ("hauler", None),
    ]
    assert plan["gear"] == [
        {"item": "chest waders", "size": "43", "unit": "", "needed": 2.0, "own": 1.0, "in_stock": 1.0, "short": 0.0}
    ]


def test_a_correction_is_a_line_that_names_the_one_it_corrects():
    reader = program(make_token(make_bay().organizer)[1])
    lines = {line["id"]: line for line in read(reader, "hours")["data"]}
    told = [
        (key, line["minutes"], line["counts"], line["corrects"], line["corrected_by"]) for key, line in lines.items()
    ]
    assert told == [(901, 240, False, None, 902), (902, 180, True, 901, None), (903, 240, True, None, None)]


def test_pages_follow_each_other_while_rows_come():
    bay = make_bay()
    for number in range(5):
        factories.make_stand(bay.group, site=bay.stand.site, pk=200 + number)
    reader = program(make_token(bay.organizer)[1])
    found: list[int] = []
    cursor: dict[str, str] = {}
    while True:
        page = read(reader, "stands", limit=2, **cursor)
        found += ids(page)
        if page["next_cursor"] is None:
            break
        cursor = {"cursor": page["next_cursor"]}
        if len(found) == 2:
            factories.make_stand(bay.group, site=bay.stand.site, pk=300)
    assert found == [31, 200, 201, 202, 203, 204, 300]


def test_only_what_changed_since_then_comes():
    bay = make_bay()
    reader = program(make_token(bay.organizer)[1])
    for name, before, after in (
        ("stands", NOW - datetime.timedelta(hours=48), NOW - datetime.timedelta(hours=47)),
        ("plans", NOW - datetime.timedelta(hours=18), NOW - datetime.timedelta(hours=17)),
        ("hours", NOW - datetime.timedelta(hours=42), NOW - datetime.timedelta(hours=41)),
    ):
        everything = {"stands": [31], "plans": [51], "hours": [901, 902]}[name]
        assert ids(read(reader, name, updated_since=before.isoformat())) == everything, name
        assert ids(read(reader, name, updated_since=after.isoformat())) == [], name
    since = (NOW - datetime.timedelta(hours=30)).isoformat()
    assert ids(read(reader, "days", updated_since=since)) == [bay.posted.pk]
    extra = factories.make_zone(bay.stand)
    AuditEntry.objects.create(
        group=bay.group, at=NOW - datetime.timedelta(days=9), deed="zone recorded", subject=f"stands.Zone:{extra.pk}"
    )
    remove_zone(zone=extra, actor=account_of(bay.organizer), now=NOW)
    assert ids(read(reader, "stands", updated_since=NOW.isoformat())) == [31]


def test_what_is_asked_wrongly_is_named_with_what_would_be_right():
    reader = program(make_token(make_bay().organizer)[1])
    for asked, parameter, part in (
        ({"limit": "0"}, "limit", "greater than or equal to 1"),
        ({"limit": "many"}, "limit", "integer"),
        ({"cursor": "after--1"}, "cursor", "send next_cursor of the page before"),
        ({"cursor": "\x00"}, "cursor", "send next_cursor of the page before"),
        ({"updated_since": "2026-08-10"}, "updated_since", "write a moment such as 2026-08-15T12:00:00Z"),
        ({"updated_since": "2026-08-10T25:00:00Z"}, "updated_since", "write a moment such as 2026-08-15T12:00:00Z"),
        ({"first_date": "2026-02-30"}, "first_date", "write a day such as 2026-08-15"),
        ({"status": "open"}, "status", "posted|cancelled|closed"),
        ({"update_since": "2026-08-10T00:00:00Z"}, "update_since", "there is no such parameter"),
    ):
        answer = reader.get("/api/v1/days", asked)
        assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json"), asked
        said = answer.json()
        assert said["type"] == "http://127.0.0.1:8000/api/#bad-request"
        assert [(error["parameter"], part in error["detail"]) for error in said["errors"]] == [(parameter, True)], said


def test_addresses_are_only_read():
    reader = program(make_token(make_bay().organizer)[1])
    answer = reader.post("/api/v1/days", {"title": "Mine"})
    assert (answer.status_code, answer["Allow"], answer.json()["status"]) == (405, "GET, HEAD", 405)
    assert reader.head("/api/v1/days")["ETag"] == reader.get("/api/v1/days")["ETag"]


def test_an_unchanged_answer_is_not_sent_again():
    bay = make_bay()
    reader = program(make_token(bay.organizer)[1])
    first = reader.get("/api/v1/stands")
    again = reader.get("/api/v1/stands", headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    bay.stand.name = "South cove"
    bay.stand.save()
    changed = reader.get("/api/v1/stands", headers={"If-None-Match": first["ETag"]})
    assert changed.status_code == 200
    assert (changed["Cache-Control"], "Authorization" in changed["Vary"]) == ("private, no-cache", True)


def test_a_token_that_asks_too_often_is_told_when_to_ask_again(monkeypatch):
    monkeypatch.setattr(access, "REQUESTS_MOST", 5)
    bay = make_bay()
    (_one, secret), (_two, other) = make_token(bay.organizer), make_token(bay.organizer, number=2)
    reader = program(secret)
    first = reader.get("/api/v1/token")
    assert first["RateLimit-Policy"] == f'"token";q={access.REQUESTS_MOST};w={access.WINDOW_S}'
    assert first["RateLimit"] == f'"token";r={access.REQUESTS_MOST - 1};t=60'
    for _again in range(access.REQUESTS_MOST - 1):
        last = reader.get("/api/v1/token")
    assert (last.status_code, last["RateLimit"]) == (200, '"token";r=0;t=60')
    refused = reader.get("/api/v1/token")
    assert (refused.status_code, refused["Retry-After"]) == (429, "60")
    assert refused.json()["type"].endswith("/api/#too-many-requests")
    assert program(other).get("/api/v1/token").status_code == 200
    with time_machine.travel(NOW + datetime.timedelta(seconds=60), tick=False):
        assert reader.get("/api/v1/token").status_code == 200


def test_queries_do_not_grow_with_rows(count_queries):
    bay = make_bay()
    reader = program(make_token(bay.organizer)[1])
    since = {"updated_since": "2026-01-01T00:00:00Z"}

    def asked():
        questions = [(name, more) for name in LISTS for more in ({}, since)]
        return [count_queries(functools.partial(read, reader, name, **more)) for name, more in questions]

    asked()
    before = asked()
    make_more(bay)
    assert asked() == before
    assert max(before) < 25


def make_more(bay):
    """Further stands, days, plans and hours of the group."""
    from tests.api.rows import _hours, _plan

    for number in range(3):
        stand = factories.make_stand(bay.group, pk=400 + number)
        zones = [factories.make_zone(stand) for _zone in range(2)]
        factories.make_survey(stand, {zones[0]: [10, 12, 14]})
        people = [factories.make_member(bay.group) for _person in range(4)]
        day = factories.make_day(stand, pk=400 + number)
        _plan(day, zones[0], people, 1000 * (number + 1))
        _hours(day, stand, people[:2], 1000 * (number + 1))


def test_use_is_noted_by_the_hour():
    token, secret = make_token(make_bay().organizer)
    with time_machine.travel(NOW + datetime.timedelta(minutes=42), tick=False):
        program(secret).get("/api/v1/token")
    assert ApiToken.objects.get(pk=token.pk).last_used_at == NOW
