"""The shell of the phone page, its worker and its manifest; what the scripts do is seen in tests/browser."""

import json
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.urls import reverse

from reedcrew.crews.models import Assignment, Plan
from reedcrew.fieldbook.phone_words import SENTENCES, words
from reedcrew.fieldbook.views import phone
from reedcrew.people.roles import Role
from tests import factories

pytestmark = pytest.mark.django_db

SCRIPTS = Path(phone.__file__).parent.parent / "static" / "fieldbook"


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(name="Willow Bend"), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead):
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand)
    return factories.make_day(stand, title="Only this morning")


def kept_by_worker(client):
    answer = client.get(reverse("fieldbook:worker"))
    assert answer.headers["Service-Worker-Allowed"] == "/g/"
    return json.loads(answer.text.partition("\n")[0].removeprefix("self.fieldbook = ").removesuffix(";"))


def test_the_shell_is_the_same_for_everybody_and_names_nobody(client, lead, day):
    public = client.get(reverse("fieldbook:shell"))
    client.force_login(lead.account)
    own = client.get(reverse("fieldbook:phone", args=[lead.group.slug, day.pk]))
    assert own.content == public.content == client.get(f"/g/{lead.group.slug}/days/field/").content
    assert not {"Lea Lead", "Willow Bend", "Only this morning", "csrf"} & set(re.findall(r"[\w ]+", own.text))


def test_the_shell_of_a_day_is_opened_by_who_may_run_days_of_the_group(client, day):
    client.force_login(factories.make_member(factories.make_group(), role=Role.CREW_LEAD).account)
    assert client.get(reverse("fieldbook:phone", args=[day.group.slug, day.pk])).status_code == 404
    client.force_login(factories.make_member(day.group).account)
    assert client.get(reverse("fieldbook:phone", args=[day.group.slug, day.pk])).status_code == 403


def test_the_worker_keeps_the_shell_and_files_that_exist_and_no_page(client):
    kept = kept_by_worker(client)
    assert kept["shell"] == reverse("fieldbook:shell")
    assert all(finders.find(address.removeprefix("/static/")) for address in kept["files"])
    imported = {
        (script.parent / name).resolve()
        for script in SCRIPTS.rglob("*.js")
        for name in re.findall(r'from "(\.[^"]+)"', script.read_text())
    }
    assert {f"/static/fieldbook/{path.relative_to(SCRIPTS)}" for path in imported} <= set(kept["files"])


def test_the_worker_has_another_version_as_soon_as_the_shell_says_something_else(client, monkeypatch):
    before = kept_by_worker(client)["version"]
    assert kept_by_worker(client)["version"] == before
    monkeypatch.setitem(SENTENCES, "saved_here", "Kept: %(what)s")
    assert kept_by_worker(client)["version"] != before


def test_the_manifest_starts_at_the_days_of_the_phone(client, lead):
    client.force_login(lead.account)
    said = client.get(reverse("fieldbook:manifest", args=[lead.group.slug])).json()
    assert said["start_url"] == f"/g/{lead.group.slug}/days/field/"
    assert said["start_url"].startswith(said["scope"])
    assert said["name"] == "Fieldbook of Willow Bend"


def test_every_sentence_is_said_by_a_script_and_none_is_missing():
    text = "\n".join(path.read_text() for path in SCRIPTS.rglob("*.js"))
    asked = set(re.findall(r"""(?:say|refuse|refusal)\(\s*["']([\w.]+)["']""", text))
    assert asked - set(words()) == set()
    quoted = set(re.findall(r"""["']([\w.]+)["']""", text))
    made = tuple(re.findall(r"say\(`(\w+_)\$\{", text))
    assert {name for name in words() if name not in quoted and not name.startswith(made)} == set()


def test_who_signs_out_reads_what_stays_on_the_phone_without_a_script_too(client, lead):
    client.force_login(lead.account)
    page = client.get(reverse("account_logout"))
    assert "Entries that have not reached the server stay" in page.text
    assert "/static/fieldbook/leaving.js" in page.text


def test_the_data_of_a_day_says_who_goes_where_with_what_and_why_not_without_a_measure(lead, day, client):
    """Whoever may not wade that deep stays out by the server's sentence (design, H6); heights stay off the phone."""
    zone = day.zones.get()
    tall = factories.make_water_member(lead.group, name="Ada Holm", profile={"stature_cm": 187})
    short = factories.make_water_member(lead.group, name="Bram Ost", profile={"stature_cm": None})
    plan = Plan.objects.create(day=day, made_at=factories.NOW, status="optimal", answer={})
    gear = [{"item": "boots", "size": "36"}, {"item": "eye protection", "size": ""}]
    Assignment.objects.create(
        plan=plan,
        sign_up=factories.make_sign_up(day, tall),
        kind=Assignment.Kind.UNIT,
        unit_number=1,
        zone=zone,
        gear=gear,
    )
    factories.make_sign_up(day, short)
    client.force_login(lead.account)
    answer = client.get(reverse("fieldbook:day_json", args=[lead.group.slug, day.pk]))
    ada, bram = answer.json()["roster"]
    assert (ada["name"], ada["unit"], ada["zone"], ada["gear"]) == ("Ada Holm", 1, zone.pk, "boots 36, eye protection")
    assert ada["facts"] == {"experienced": True, "languages": ["en"], "stays_out": {}}
    unknown = "The height of Bram Ost is unknown, and with it how deep they may wade."
    assert bram["facts"]["stays_out"] == {str(zone.pk): unknown}
    assert "187" not in answer.text
