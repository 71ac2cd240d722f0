"""A full disk: whoever is told "kept" finds it, whoever is not is told why, and all goes on once there is room."""

import contextlib
import io
import os
import resource
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from PIL import Image

from reedcrew.people.models import Member
from reedcrew.stands.models import CheckPhoto
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.faults.scenes import make_open_day

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

PEOPLE = 12
FILE_BYTES = 16 * 1024
PAGES_LEFT = 4  # of 4 KB: some sign-ups fit in, not all


def signed_in(member: Member) -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(member.account)
    return client


def sign_up(client: Client, day: WorkDay, member: Member, **heads: str) -> Any:
    return client.post(f"{day.get_public_url()}sign-up/", {f"place_{member.pk}": "land"}, headers=heads)


@contextlib.contextmanager
def full_database() -> Iterator[None]:
    """SQLite answers as on a full disk (SQLITE_FULL): its file may grow by PAGES_LEFT and no further."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")  # pages that earlier tests left free would be filled first
        cursor.execute("PRAGMA page_count")
        cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0] + PAGES_LEFT}")
        yield
        cursor.execute("PRAGMA max_page_count = 1073741823")  # SQLite's own default


@contextlib.contextmanager
def full_folder() -> Iterator[None]:
    """This process may write no file past FILE_BYTES (EFBIG), for root and everybody else."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (FILE_BYTES, limits[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)


def test_a_full_database_keeps_what_it_acknowledged_says_so_and_takes_the_rest_later(
    report: Callable[[object], None],
) -> None:
    day = make_open_day()
    members = [factories.make_member(day.group) for _ in range(PEOPLE)]
    clients = [signed_in(member) for member in members]
    with full_database():
        answers = [sign_up(*each) for each in zip(clients, [day] * PEOPLE, members, strict=True)]
        told = {member.pk for member, answer in zip(members, answers, strict=True) if answer.status_code == 302}
        refused = [answer for answer in answers if answer.status_code != 302]
        assert 0 < len(told) < PEOPLE
        assert {answer.status_code for answer in refused} == {503}
        assert refused[0]["Retry-After"] == "300"
        assert "The disk of this site is full" in refused[0].content.decode()
        notice = sign_up(clients[-1], day, members[-1], **{"HX-Request": "true"})
        assert (notice.status_code, notice["HX-Retarget"], "<html" in notice.content.decode()) == (
            503,
            "#messages",
            False,
        )
        assert clients[-1].get(day.get_public_url()).status_code == 200  # reading goes on
    held = set(SignUp.objects.values_list("member", flat=True))
    assert held == told
    for client, member in zip(clients, members, strict=True):
        assert sign_up(client, day, member).status_code == 302
    assert list(SignUp.objects.order_by("number").values_list("number", flat=True)) == list(range(1, PEOPLE + 1))
    report(f"{len(told)} acknowledged, {len(held)} held while it was full; {PEOPLE} of {PEOPLE} afterwards")


def noise(width: int, height: int) -> SimpleUploadedFile:
    written = io.BytesIO()
    Image.frombytes("RGB", (width, height), os.urandom(width * height * 3)).save(written, "JPEG")
    return SimpleUploadedFile(f"{width}.jpg", written.getvalue(), "image/jpeg")


def test_a_photo_that_does_not_fit_leaves_nothing_and_is_kept_once_there_is_room(tmp_path: Path, settings: Any) -> None:
    settings.MEDIA_ROOT = tmp_path / "media"
    member = factories.make_member(factories.make_group())
    check = factories.make_check(factories.make_stand(member.group), checked_by=member.account)
    client, page = signed_in(member), check.get_absolute_url() + "photos/"

    def send() -> Any:
        return client.post(page, {"photos": [noise(40, 30), noise(400, 300)]})

    def files() -> list[Path]:
        return [each for each in settings.MEDIA_ROOT.rglob("*") if each.is_file()]

    with full_folder():
        answer = send()
    assert (answer.status_code, "The disk of this site is full" in answer.content.decode()) == (200, True)
    assert (CheckPhoto.objects.count(), files()) == (0, [])
    assert send().status_code == 302
    assert (CheckPhoto.objects.count(), len(files())) == (2, 4)
