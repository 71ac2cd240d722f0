"""Photos of checks: kept without metadata, served to the group alone, removed by an organizer only."""

import io
from decimal import Decimal
from pathlib import Path

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from PIL import ExifTags, Image

from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.stands import services
from reedcrew.stands.errors import TooManyPhotos
from reedcrew.stands.models import CheckPhoto, IdentificationCheck
from reedcrew.web.photos import read_photo
from tests.factories import (
    NOW,
    SEES_INTRODUCED,
    account_of,
    make_account,
    make_check,
    make_group,
    make_member,
    make_stand,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "media"
    return settings.MEDIA_ROOT


@pytest.fixture
def member():
    return make_member(make_group())


@pytest.fixture
def check(member):
    return make_check(make_stand(member.group), checked_by=account_of(member))


def taken(shade=12, *, place=True):
    """A photo as a phone makes it, as bytes; each shade is another photo."""
    tags = Image.Exif()
    if place:
        where = tags.get_ifd(ExifTags.IFD.GPSInfo)
        where.update({ExifTags.GPS.GPSLatitudeRef: "N", ExifTags.GPS.GPSLatitude: (44.0, 15.0, 0.0)})
        where.update({ExifTags.GPS.GPSLongitudeRef: "W", ExifTags.GPS.GPSLongitude: (76.0, 30.0, 0.0)})
    written = io.BytesIO()
    Image.new("RGB", (900, 600), (shade * 10, 100, 60)).save(written, "JPEG", exif=tags)
    return written.getvalue()


def photo(shade=12):
    return read_photo(io.BytesIO(taken(shade)), name="stem.jpg")


def upload(shade=12, name="stem.jpg"):
    file = io.BytesIO(taken(shade))
    file.name = name
    return file


def add(check, *photos, **values):
    facts = {"actor": make_account(), "now": NOW, **values}
    return services.add_photos(check=check, photos=photos, **facts)


def files(media):
    return sorted(path for path in Path(media).rglob("*") if path.is_file())


def address(name, photo):
    return reverse(f"stands:{name}", args=[photo.check_of.stand.site.group.slug, photo.check_of.stand_id, photo.code])


@pytest.mark.parametrize(("keep", "kept"), [(False, None), (True, Decimal("44.25"))])
def test_a_photo_is_kept_as_two_files_and_its_place_only_where_it_is_wanted(check, media, keep, kept):
    (row,) = add(check, photo(), keep_position=keep)
    row.refresh_from_db()
    assert (row.width, row.height, row.latitude) == (900, 600, kept)
    assert len(files(media)) == 2
    for path in files(media):
        assert row.code in path.name
        with Image.open(path) as image:
            assert not image.getexif()
    assert AuditEntry.objects.get(deed="photos added").detail == {"count": 1}


def test_names_cannot_be_guessed_and_nobody_else_reads_the_files(check, media):
    rows = add(check, photo(1), photo(2))
    assert len({row.code for row in rows}) == 2
    assert all(len(row.code) == 32 for row in rows)
    assert all(path.stat().st_mode & 0o077 == 0 for path in files(media))


def test_the_same_photo_sent_twice_is_kept_once(check, media):
    add(check, photo(), photo())
    assert add(check, photo()) == []
    assert CheckPhoto.objects.count() == 1
    assert len(files(media)) == 2


def test_a_check_holds_so_many_photos_and_says_so(check, media):
    add(check, *(photo(shade) for shade in range(23)))
    with pytest.raises(TooManyPhotos, match="at most 24 photos, and this one has 23"):
        add(check, photo(23), photo(24))
    assert len(files(media)) == 46


def test_a_photo_that_cannot_be_kept_leaves_no_file(check, media):
    first, second = photo(1), photo(2)
    object.__setattr__(second, "width", -5)
    with pytest.raises(Exception, match="width"):
        add(check, first, second)
    assert files(media) == []
    assert not CheckPhoto.objects.exists()


def test_the_database_refuses_half_a_place(check):
    (row,) = add(check, photo())
    row.latitude = Decimal(44)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


@pytest.mark.parametrize(("name", "size"), [("check_photo", (900, 600)), ("check_photo_small", (480, 320))])
def test_members_of_the_group_get_a_photo_with_headers_that_keep_it_private(client, check, member, name, size):
    (row,) = add(check, photo())
    client.force_login(account_of(member))
    answer = client.get(address(name, row))
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "private, max-age=3600"
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert Image.open(io.BytesIO(b"".join(answer.streaming_content))).size == size


def test_nobody_else_gets_it(client, check, member):
    (row,) = add(check, photo())
    assert client.get(address("check_photo", row)).status_code == 302
    stranger = make_member(make_group(), role=Role.ORGANIZER)
    client.force_login(account_of(stranger))
    assert client.get(address("check_photo", row)).status_code == 404
    own = make_stand(stranger.group)
    through_own = reverse("stands:check_photo", args=[stranger.group.slug, own.pk, row.code])
    assert client.get(through_own).status_code == 404
    assert client.get("/media/" + row.picture.name).status_code == 404


def test_a_photo_whose_file_is_lost_is_not_there(client, check, member, media):
    (row,) = add(check, photo())
    for path in files(media):
        path.unlink()
    client.force_login(account_of(member))
    assert client.get(address("check_photo", row)).status_code == 404


def test_an_organizer_removes_a_photo_and_its_files(client, check, media, django_capture_on_commit_callbacks):
    (row,) = add(check, photo())
    organizer = make_member(check.stand.site.group, role=Role.ORGANIZER)
    client.force_login(account_of(organizer))
    assert "Remove this photo?" in client.get(address("remove_check_photo", row)).text
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(address("remove_check_photo", row), follow=True)
    assert answer.redirect_chain[-1][0] == check.get_absolute_url()
    assert not CheckPhoto.objects.exists()
    assert files(media) == []
    assert AuditEntry.objects.get(deed="photo removed").actor == organizer.account
    again = client.post(address("remove_check_photo", row), follow=True)
    assert "not there any more" in again.text
    assert IdentificationCheck.objects.count() == 1


def test_only_an_organizer_may_remove_one_and_a_second_removal_does_no_harm(client, check, member):
    (row,) = add(check, photo())
    client.force_login(account_of(member))
    assert client.post(address("remove_check_photo", row)).status_code == 403
    assert services.remove_photo(photo=row, actor=make_account(), now=NOW) is True
    assert services.remove_photo(photo=row, actor=make_account(), now=NOW) is False


def test_photos_come_with_a_check_that_is_recorded(media):
    stand = make_stand(make_group())
    check = services.record_check(
        stand=stand,
        observation=SEES_INTRODUCED,
        checked_on=NOW.date(),
        photos=[photo(1), photo(2)],
        actor=make_account(),
        now=NOW,
    )
    assert check.photos.count() == 2
    assert len(files(media)) == 4


def test_more_photos_are_added_by_who_made_the_check_or_an_organizer(client, check, member):
    page = reverse("stands:add_check_photos", args=[member.group.slug, check.stand_id, check.pk])
    client.force_login(account_of(make_member(member.group, role=Role.CREW_LEAD)))
    assert client.get(page).status_code == 403
    client.force_login(account_of(member))
    shown = client.get(page).text
    assert "Keep where the photos were taken" not in shown
    answer = client.post(page, {"photos": [upload(1), upload(2)], "keep_position": "on"}, follow=True)
    assert "2 photos are added" in answer.text
    assert set(CheckPhoto.objects.values_list("latitude", flat=True)) == {None}
    client.force_login(account_of(make_member(member.group, role=Role.ORGANIZER)))
    client.post(page, {"photos": [upload(3)], "keep_position": "on"})
    assert CheckPhoto.objects.get(latitude__isnull=False).longitude == Decimal("-76.5")


def test_what_is_no_photo_is_named_and_nothing_is_added(client, check, member):
    page = reverse("stands:add_check_photos", args=[member.group.slug, check.stand_id, check.pk])
    client.force_login(account_of(member))
    words = io.BytesIO(b"not a photo")
    words.name = "notes.jpg"
    answer = client.post(page, {"photos": [upload(), words]})
    assert "“notes.jpg” is no photo" in answer.text
    assert "at least one photo" in client.post(page, {"keep_position": ""}).text
    assert not CheckPhoto.objects.exists()
