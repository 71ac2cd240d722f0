"""The ledger only grows, a correction names what it corrects, and an hour counts toward one grant."""

import csv
import datetime
import io
from decimal import Decimal

import pytest
from django.db.models import Sum

from reedcrew.fieldbook import services as fieldbook
from reedcrew.grants import errors, services
from reedcrew.grants.csv_export import csv_lines
from reedcrew.grants.models import Grant, HourEntry
from reedcrew.grants.queries import ledger as queries
from reedcrew.grants.queries.ledger import Slice
from reedcrew.people.roles import Role
from reedcrew.web.cells import safe_cell
from tests import factories
from tests.factories import END, NOW, START

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def coordinator(group):
    return factories.make_member(group, role=Role.COORDINATOR).account


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.CREW_LEAD).account


@pytest.fixture
def stand(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return stand


def run_day(stand, lead, *, hours, stems=0):
    """A day on which one person after the other stays for so many hours, closed at its end."""
    day = factories.make_day(stand)
    for length in hours:
        member = factories.make_member(stand.site.group)
        factories.make_sign_up(day, member)
        stay = fieldbook.sign_in(day=day, member=member, in_water=False, at=START, actor=lead, now=START)
        fieldbook.sign_out(attendance=stay, at=START + length * HOUR, actor=lead, now=END)
    if stems:
        fieldbook.tally_counted(day=day, zone=day.zones.first(), stems=stems, unit_number=None, actor=lead, now=END)
    return fieldbook.close(day=day, actor=lead, now=END)


def make_grant(group, *stands, name="Shore grant", first=(2026, 4, 1), last=(2027, 3, 31)) -> Grant:
    facts = services.GrantFacts(
        name=name,
        funder="Lake fund",
        number="LF-1",
        starts_on=datetime.date(*first),
        ends_on=datetime.date(*last),
        stands=stands,
    )
    return services.record_grant(group=group, facts=facts, actor=factories.make_account(), now=NOW)


def test_closing_a_day_enters_its_hours_once(stand, lead):
    day = run_day(stand, lead, hours=[4, 2.5])
    assert sorted(HourEntry.objects.values_list("minutes", flat=True)) == [150, 240]
    assert services.enter_hours(day=day, actor=lead, now=END) == 0


def test_a_correction_is_a_new_entry_and_the_old_one_no_longer_counts(stand, lead, coordinator):
    run_day(stand, lead, hours=[4])
    old = HourEntry.objects.get()
    new = services.correct_entry(
        entry=old, started_at=START, ended_at=START + HOUR, reason="Left at ten", actor=coordinator, now=END
    )
    old.refresh_from_db()
    assert (old.minutes, new.minutes, new.corrects) == (240, 60, old)
    assert list(HourEntry.objects.standing()) == [new]
    with pytest.raises(errors.AlreadyCorrected, match=f"Entry {new.pk} stands in its place: .*, Sat 15 Au"):
        services.correct_entry(entry=old, started_at=START, ended_at=END, reason="No", actor=coordinator, now=END)
    again = services.correct_entry(
        entry=new, started_at=START, ended_at=START, reason="Was not there", actor=coordinator, now=END
    )
    assert (list(HourEntry.objects.standing()), again.minutes) == ([again], 0)


@pytest.mark.parametrize(
    ("end", "reason", "error"),
    [
        (END, " ", errors.CorrectionNeedsReason),
        (START - HOUR, "Earlier", errors.EndBeforeStart),
        (START + 25 * HOUR, "Later", errors.TooManyHours),
    ],
)
def test_a_correction_that_cannot_be_is_refused(stand, lead, coordinator, end, reason, error):
    run_day(stand, lead, hours=[4])
    with pytest.raises(error):
        services.correct_entry(
            entry=HourEntry.objects.get(), started_at=START, ended_at=end, reason=reason, actor=coordinator, now=END
        )
    assert HourEntry.objects.count() == 1


def test_a_claim_follows_the_correction(group, stand, lead, coordinator):
    run_day(stand, lead, hours=[4])
    grant = make_grant(group, stand)
    services.claim_eligible(grant=grant, actor=coordinator, now=END)
    services.correct_entry(
        entry=HourEntry.objects.get(),
        started_at=START,
        ended_at=START + HOUR,
        reason="Left early",
        actor=coordinator,
        now=END,
    )
    assert queries.sums_of(Slice(group=group, grant=grant)).minutes == 60
    assert Grant.objects.with_sums().aggregate(sum=Sum("claimed_minutes")) == {"sum": 60}


def test_hours_on_other_stands_are_not_eligible(group, stand, lead, coordinator):
    run_day(stand, lead, hours=[4])
    other = make_grant(group, factories.make_stand(group))
    assert services.claim_eligible(grant=other, actor=coordinator, now=END) == 0


def test_the_rows_of_the_export_add_up_to_the_sums(group, stand, lead, coordinator):
    run_day(stand, lead, hours=[4, 3, 1.25], stems=1200)
    elsewhere = factories.make_stand(group)
    factories.make_zone(elsewhere)
    run_day(elsewhere, lead, hours=[2], stems=77)
    grant = make_grant(group, stand)
    services.claim_eligible(grant=grant, actor=coordinator, now=END)
    part = Slice(group=group, grant=grant)
    hours = list(csv.DictReader(io.StringIO("".join(csv_lines(queries.HOURS_HEAD, queries.hours_rows(part))))))
    stems = list(csv.DictReader(io.StringIO("".join(csv_lines(queries.STEMS_HEAD, queries.stems_rows(part))))))
    sums = queries.sums_of(part)
    assert sum(int(row["minutes"]) for row in hours) == sums.minutes == 495
    assert sum(int(row["stems"]) for row in stems) == sums.stems == 1200
    assert (sums.people, sums.days, sums.hours) == (3, 1, Decimal("8.25"))
    assert {row["stand"] for row in hours} == {stand.name}
    assert {row["grant"] for row in hours} == {"Shore grant"}


def test_people_stand_in_the_export_by_their_code(group, stand, lead):
    run_day(stand, lead, hours=[1])
    entry = HourEntry.objects.get()
    text = "".join(csv_lines(queries.HOURS_HEAD, queries.hours_rows(Slice(group=group))))
    assert entry.member.code in text
    assert entry.member.name not in text


def test_a_slice_never_reaches_another_group(stand, lead):
    run_day(stand, lead, hours=[1], stems=5)
    sums = queries.sums_of(Slice(group=factories.make_group()))
    assert (sums.minutes, sums.stems) == (0, 0)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_runs_in_a_spreadsheet(start):
    """OWASP, CSV injection: cells that start with these are formulas."""
    assert safe_cell(f"{start}1+1") == f"'{start}1+1"
    assert safe_cell("1+1") == "1+1"
    assert safe_cell(-5) == -5
