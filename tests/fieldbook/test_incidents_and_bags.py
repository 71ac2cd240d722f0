"""What went wrong is private and told at once; bags in the sun are a task until somebody takes them on."""

import datetime
from email import message_from_bytes
from email.policy import default

import pytest
from django.db import connection
from django.urls import reverse

from reedcrew.fieldbook import services
from reedcrew.fieldbook.models import Incident, Load
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import START, account_of

pytestmark = pytest.mark.django_db

A_DAY = datetime.timedelta(days=1)
WORDS = "Cut in the left hand, bleeding stopped"


@pytest.fixture
def organizer():
    account = factories.make_account("ada@example.org")
    return factories.make_member(factories.make_group(), role=Role.ORGANIZER, name="Ada Organizer", account=account)


@pytest.fixture
def lead(organizer):
    return factories.make_member(organizer.group, role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(organizer, time_machine):
    time_machine.move_to(START + A_DAY / 24, tick=False)
    return factories.make_day(factories.make_stand(organizer.group))


def address(name, day, *args):
    return reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk, *args])


def test_an_incident_is_kept_encrypted_and_the_organizers_hear_of_it_at_once(client, day, lead):
    client.force_login(account_of(lead))
    sent = {"kind": "injury", "what": WORDS, "who": "Bo Birch", "entry_id": "6f2c1c1e-8c53-4a62-9a39-0a4e0c9a7f11"}
    page = client.post(address("incidents", day), sent, follow=True)
    assert WORDS in page.text
    client.post(address("incidents", day), sent)  # a second press
    assert Incident.objects.count() == 1
    with connection.cursor() as cursor:
        cursor.execute("SELECT what, who FROM fieldbook_incident")
        assert WORDS not in str(cursor.fetchall())
    mail = OutgoingMail.objects.get()
    assert (mail.kind, mail.to_address) == ("incident", "ada@example.org")
    parsed = message_from_bytes(bytes(mail.raw), policy=default)
    parts = [part.get_content() for part in parsed.walk() if part.get_content_maintype() == "text"]
    assert len(parts) == 2
    for part in [*parts, mail.subject]:
        assert not any(private in part for private in ("Cut in", "Bo Birch", "injury"))
    assert all(f"/days/{day.pk}/" in part for part in parts)


def test_incidents_are_read_by_organizers_and_by_leads_while_the_day_is_near(
    client, day, lead, organizer, time_machine
):
    services.record_incident(
        day=day, kind="near_miss", happened_at=START, what=WORDS, actor=account_of(lead), now=START + A_DAY / 24
    )
    every = reverse("fieldbook:group_incidents", args=[day.group.slug])
    time_machine.move_to(START + 2 * A_DAY, tick=False)
    client.force_login(account_of(lead))
    page = client.get(address("incidents", day))
    assert WORDS not in page.text
    assert "from the day before to the day after" in page.text
    assert client.get(every).status_code == 403
    client.force_login(account_of(organizer))
    assert WORDS in client.get(address("incidents", day)).text
    assert WORDS in client.get(every).text
    assert "1 incident was written down" in client.get(organizer.group.get_absolute_url()).text


def test_bags_are_a_task_once_their_time_in_the_sun_is_over(client, day, organizer, time_machine):
    load = services.record_load(
        day=day, kind="bags", count=6, seed_heads=True, place="South lot", actor=account_of(organizer), now=START
    )
    client.force_login(account_of(organizer))
    bags = reverse("fieldbook:bags", args=[day.group.slug])
    moved = reverse("fieldbook:bags_moved_on", args=[day.group.slug, load.pk])
    assert "due" not in client.get(bags).text.replace("due date", "")
    assert "lie in the sun until" in client.post(moved, {"to": "Landfill"}).text
    time_machine.move_to(START + 14 * A_DAY, tick=False)
    assert "6 bags have had their time in the sun" in client.get(organizer.group.get_absolute_url()).text
    page = client.post(moved, {"to": "Landfill"}, follow=True)
    assert "Landfill" in page.text
    assert Load.objects.get().moved_on_by == account_of(organizer)
    assert client.get(moved).status_code == 404


def test_an_incident_is_struck_out_by_those_who_may_read_it(client, day, lead, organizer, time_machine):
    incident = services.record_incident(
        day=day, kind="near_miss", happened_at=START, what=WORDS, actor=account_of(lead), now=START + A_DAY / 24
    )
    link = address("strike", day, "incident", incident.pk)
    time_machine.move_to(START + 2 * A_DAY, tick=False)
    client.force_login(account_of(lead))
    assert client.get(link).status_code == 404
    client.force_login(account_of(organizer))
    assert link in client.get(address("incidents", day)).text
    page = client.post(link, {"reason": "It was another day"}, follow=True)
    assert "It was another day" in page.text
    assert link not in page.text
    incident.refresh_from_db()
    assert incident.struck_by == account_of(organizer)
