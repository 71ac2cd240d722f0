"""What phones told differently is shown with both versions until somebody has looked; photos stay in the group."""

import datetime
import io
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from reedcrew.fieldbook.models import DayPhoto, PhoneOfDay, Submission
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead, time_machine, client, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    time_machine.move_to(START + datetime.timedelta(hours=1), tick=False)
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand)
    client.force_login(account_of(lead))
    return factories.make_day(stand)


def address(name, day, *args):
    return reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk, *args])


def send(day, lead, phone, stems, **fields) -> Submission:
    """One version of a tally as a phone sent it."""
    return Submission.objects.create(
        day=day,
        digest=str(stems),
        phone=phone,
        author=account_of(lead),
        kind="tally",
        data={"zone": day.zones.get().pk, "stems": stems},
        phone_at=START,
        at=START,
        received_at=START,
        **fields,
    )


def test_both_versions_of_an_entry_are_shown_until_somebody_has_dealt_with_them(client, day, lead):
    phone = PhoneOfDay.objects.create(
        day=day,
        key=uuid.uuid4(),
        name="Blue phone",
        account=account_of(lead),
        first_at=START,
        last_at=START,
        offset_s=190,
    )
    entry = uuid.uuid4()
    send(day, lead, phone, 240, entry_id=entry)
    other = send(day, lead, phone, 420, entry_id=entry, outcome="refused", code="other_version", other_id=entry)
    page = client.get(address("phones", day))
    assert "One entry was sent with two different contents" in page.text
    assert "Stems: 420" in page.text
    assert "Stems: 240" in page.text
    assert "3 min 10 s behind" in page.text
    assert "1 entry from a phone waits" in client.get(address("close", day)).text
    assert "Write what you did about it." in client.post(address("phones", day), {"sent": other.pk, "note": ""}).text
    page = client.post(address("phones", day), {"sent": other.pk, "note": "Asked Bo: 240 is right"}, follow=True)
    assert "All that the phones sent is dealt with." in page.text
    assert "Asked Bo: 240 is right" in page.text
    assert Submission.objects.count() == 2
    assert client.post(address("phones", day), {"sent": other.pk, "note": "again"}).status_code == 404


def test_photos_of_before_and_after_are_kept_for_the_group(client, day, lead):
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), "green").save(picture, "JPEG")
    file = SimpleUploadedFile("before.jpg", picture.getvalue(), "image/jpeg")
    page = client.post(address("photos", day), {"kind": "before", "photos": [file]}, follow=True)
    assert "1 photo is kept." in page.text
    shown = client.get(address("day_photo", day, DayPhoto.objects.get().code))
    assert shown["Content-Type"] == "image/jpeg"
    assert b"".join(shown.streaming_content)
    client.force_login(factories.make_member(factories.make_group(), role=Role.ORGANIZER).account)
    assert client.get(address("day_photo", day, DayPhoto.objects.get().code)).status_code == 404
