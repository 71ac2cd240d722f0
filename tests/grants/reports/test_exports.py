"""Files of reports: asked for, made by a worker, given out, removed; and certificates."""

import datetime
import io
import os
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from pypdf import PdfReader

from reedcrew.grants.exports.lines import Clock
from reedcrew.grants.models import ExportJob
from reedcrew.grants.models.jobs import STALE
from reedcrew.grants.services import exports
from reedcrew.people.roles import Role
from tests import factories
from tests.grants.reports.worked import MADE_AT, Worked, worked

pytestmark = pytest.mark.django_db

A_MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def rows() -> Worked:
    return worked()


@pytest.fixture(autouse=True)
def media(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def keeper(client, rows):
    client.force_login(rows.coordinator.account)
    return client


def order(rows: Worked, form: str = "summary", now=MADE_AT) -> ExportJob:
    grant = rows.grant
    return exports.order_export(
        grant=grant, first=grant.starts_on, last=grant.ends_on, form=form, actor=rows.coordinator.account, now=now
    )


def make(job: ExportJob, now=MADE_AT) -> ExportJob:
    exports.make_export(job_pk=job.pk, clock=lambda: now)
    job.refresh_from_db()
    return job


def page_of(rows: Worked, name: str, pk: int) -> str:
    return reverse(f"grants:{name}", args=[rows.group.slug, pk])


def test_a_coordinator_asks_for_a_file_waits_and_takes_it_away(keeper, rows):
    page = keeper.get(page_of(rows, "report", rows.grant.pk))
    for said in ("259.65", "1,900 to 2,100", "1 work day is not approved yet", "1.00 h of the day do not count here"):
        assert said in page.text
    assert "%%" not in page.text
    chart = reverse("grants:report_chart", args=[rows.group.slug, rows.grant.pk, "stems", "dark"])
    assert keeper.get(chart)["Content-Type"] == "image/svg+xml"
    asked = {"first": "2026-07-01", "last": "2027-06-30", "form": "lines"}
    page = keeper.post(page_of(rows, "order_export", rows.grant.pk), asked, follow=True)
    assert "It is taken up within a minute" in page.text
    job = make(ExportJob.objects.get())
    assert "Download" in keeper.get(job.get_absolute_url()).text
    file = keeper.get(page_of(rows, "export_file", job.pk))
    assert len(file.getvalue()) == job.size
    assert file["Content-Disposition"].endswith('-lines.csv"')
    assert job.lines_done == job.lines_all == 6


def test_nobody_else_gets_the_file(client, rows):
    job = make(order(rows))
    for member, status in (
        (rows.ann, 403),
        (factories.make_member(factories.make_group(), role=Role.COORDINATOR), 404),
    ):
        client.force_login(member.account)
        for name in ("export", "export_file"):
            assert client.get(page_of(rows, name, job.pk)).status_code == status


def test_a_period_outside_of_the_grant_is_refused_at_its_field(keeper, rows):
    page = keeper.get(page_of(rows, "report", rows.grant.pk), {"first": "2026-01-01", "last": "2026-08-01"})
    assert "The grant runs from" in page.text
    asked = {"first": "2027-06-30", "last": "2026-07-01", "form": "lines"}
    page = keeper.post(page_of(rows, "order_export", rows.grant.pk), asked)
    assert (page.status_code, ExportJob.objects.count()) == (400, 0)
    assert "must not end before it begins" in page.text


def test_a_double_press_makes_one_file(rows):
    assert order(rows) == order(rows)
    job = make(order(rows))
    assert exports.make_export(job_pk=job.pk, clock=lambda: MADE_AT) is None
    assert order(rows) != job


def test_a_job_whose_worker_died_is_taken_up_anew_and_the_dead_one_counts_no_more(rows, monkeypatch):
    job = order(rows)
    ExportJob.objects.filter(pk=job.pk).update(state="running", tries=1, alive_at=MADE_AT)
    late = MADE_AT + STALE + A_MINUTE
    assert exports.due_exports(MADE_AT) == []
    assert exports.due_exports(late) == [job.pk]
    assert make(job, late).state == "done"
    ExportJob.objects.filter(pk=job.pk).update(state="running", tries=exports.TRIES_MAX, alive_at=MADE_AT)
    assert make(job, late).state == "failed"
    assert "broken off" in job.error


def test_a_file_that_fails_says_why_and_is_made_again_by_a_press(keeper, rows, media):
    (media / "exports").write_text("in the way")  # a file where the folder must be
    job = make(order(rows))
    assert job.state == "failed"
    page = keeper.get(job.get_absolute_url())
    assert "there may be no room left" in page.text
    (media / "exports").unlink()
    page = keeper.post(page_of(rows, "retry_export", job.pk), follow=True)
    assert "It is taken up within a minute" in page.text
    assert make(job).state == "done"


def test_expired_files_and_orphans_go_and_others_stay(rows, media):
    kept, old = make(order(rows)), make(order(rows))
    ExportJob.objects.filter(pk=old.pk).update(expires_at=MADE_AT)
    folder = media / "exports"
    orphan, fresh = folder / "orphan.csv", folder / "fresh.csv"
    for path, at in ((orphan, MADE_AT - 2 * exports.ORPHAN_AGE), (fresh, MADE_AT)):
        path.write_text("x")
        os.utime(path, (at.timestamp(), at.timestamp()))
    assert exports.remove_old_exports(MADE_AT) == 2
    assert set(folder.iterdir()) == {media / kept.file.name, fresh}
    assert ExportJob.objects.get() == kept


@pytest.mark.parametrize("zone", ["America/Toronto", "Asia/Kathmandu", "Australia/Lord_Howe", "Europe/Berlin"])
def test_quick_times_are_those_of_the_calendar(zone):
    clock, start = Clock(ZoneInfo(zone)), datetime.datetime(2026, 3, 1, 0, 7, tzinfo=datetime.UTC)
    moments = [start + number * datetime.timedelta(minutes=37) for number in range(6_000)]  # both changes of clocks
    for moment in moments:
        said = clock(f"{moment:%Y-%m-%d %H:%M:%S}+00")
        assert said == moment.astimezone(ZoneInfo(zone)).isoformat(timespec="minutes")


def test_a_volunteer_takes_a_certificate_of_their_own_hours(client, rows):
    client.force_login(rows.ben.account)
    own_page = page_of(rows, "my_hours", rows.ben.pk)
    assert f'href="{own_page}"' in client.get(reverse("people:home")).text
    page = client.get(own_page)
    assert "7 h 14 min" in page.text  # 225 + 60 + 149 minutes, whatever grant they count for
    assert "4 h 45 min" in page.text  # of the approved day
    file = client.get(page_of(rows, "certificate", rows.ben.pk), {"first": "2026-09-01"})
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(file.getvalue())).pages).split())
    assert "Ben worked as a volunteer of Reed crew for 2 h 29 min on 1 day" in text
    assert client.get(page_of(rows, "my_hours", rows.ann.pk)).status_code == 404
    child = factories.make_child(rows.ben)
    assert client.get(page_of(rows, "my_hours", child.pk)).status_code == 200
