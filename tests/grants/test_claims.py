"""An hour counts once: 2 CFR 200.306(b) takes no hours as match that another award counts."""

import datetime

import pytest
from django.db import IntegrityError, transaction

from reedcrew.grants import errors, services
from reedcrew.grants.models import Claim, HourEntry, Release
from reedcrew.people.roles import Role
from reedcrew.trade.valuation import Activity, Kind
from tests import factories
from tests.factories import END, NOW, START
from tests.grants.days import HOUR, make_closed, make_grant, make_line, travel

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator(group):
    return factories.account_of(factories.make_member(group, role=Role.COORDINATOR, name="Tuva Quist"))


@pytest.fixture
def stand(group):
    return factories.make_stand(group)


def claim(grant, entry, actor):
    return services.claim_entry(grant=grant, entry=entry, actor=actor, now=END)


def test_a_second_grant_is_refused_the_same_hours_and_told_who_counts_them(group, stand, coordinator):
    make_closed(stand)
    first, second = make_grant(group, stand), make_grant(group, stand, name="Second")
    entry = HourEntry.objects.get()
    held = claim(first, entry, coordinator)
    assert claim(first, entry, coordinator) == held
    with pytest.raises(
        errors.AlreadyClaimed,
        match=r"toward Shore grant already: Tuva Quist assigned them on Sat 15 August 2026\. An hour counts toward one",
    ):
        claim(second, entry, coordinator)
    assert services.claim_eligible(grant=second, actor=coordinator, now=END) == 0
    with pytest.raises(IntegrityError), transaction.atomic():
        Claim.objects.create(entry=entry, grant=second, claimed_by=coordinator, claimed_at=END)


def test_grants_of_one_family_say_so(group, stand, coordinator):
    make_closed(stand)
    family = services.record_family(group=group, name="Lake programme", note="", actor=coordinator, now=NOW)
    award, passed_on = (make_grant(group, stand, name=name, family=family) for name in ("Award", "Passed on"))
    claim(award, HourEntry.objects.get(), coordinator)
    with pytest.raises(errors.ClaimedInFamily, match=r"toward Award already.*of the family Lake programme"):
        claim(passed_on, HourEntry.objects.get(), coordinator)


def test_two_lines_of_the_same_time_are_one_hour(group, stand, coordinator):
    """As when somebody was signed in on two days at once."""
    member = factories.make_member(group)
    make_closed(stand, members=[member])
    twice = make_line(make_closed(stand), member, started_at=START + HOUR, minutes=30)
    touching = make_line(twice.day, member, started_at=START - HOUR, minutes=60)
    first, second = make_grant(group, stand), make_grant(group, stand, name="Second")
    claim(first, HourEntry.objects.filter(member=member).earliest("pk"), coordinator)
    with pytest.raises(errors.TimeClaimed, match="toward Shore grant already"):
        claim(second, twice, coordinator)
    assert services.claim_eligible(grant=second, actor=coordinator, now=END) == 2  # the touching one, another person's
    assert not Claim.objects.filter(entry=twice).exists()
    assert Claim.objects.get(entry=touching).grant == second


def test_a_released_hour_is_free_again_and_keeps_its_record(group, stand, coordinator):
    make_closed(stand)
    first, second = make_grant(group, stand), make_grant(group, stand, name="Second")
    entry = HourEntry.objects.get()
    claim(first, entry, coordinator)
    with pytest.raises(errors.ReleaseNeedsReason):
        services.release_claim(entry=entry, reason=" ", actor=coordinator, now=END)
    services.release_claim(entry=entry, reason="Funder pays for land only", actor=coordinator, now=END)
    released = Release.objects.get()
    assert (released.grant, released.claimed_by, released.reason) == (first, coordinator, "Funder pays for land only")
    with pytest.raises(errors.NotClaimed):
        services.release_claim(entry=entry, reason="Again", actor=coordinator, now=END)
    assert claim(second, entry, coordinator).grant == second


@pytest.mark.parametrize(
    "facts",
    [
        {"starts_on": datetime.date(2026, 8, 16)},
        {"ends_on": datetime.date(2026, 8, 14)},
        {"kinds": [Kind.TRAVEL]},
        {"activities": [Activity.WATER]},
    ],
    ids=["too early", "too late", "kind", "activity"],
)
def test_hours_that_a_grant_does_not_take_are_refused(group, stand, coordinator, facts):
    make_closed(stand)
    grant = make_grant(group, stand, **facts)
    with pytest.raises(errors.NotEligible, match="Shore grant counts hours on its own stands"):
        claim(grant, HourEntry.objects.get(), coordinator)
    assert services.claim_eligible(grant=grant, actor=coordinator, now=END) == 0


def test_work_past_midnight_at_the_end_of_a_period_belongs_whole_to_the_day_on_which_it_began(
    group, stand, coordinator
):
    """22:00 on 15 August to 02:00 on the 16th at the site."""
    night = datetime.datetime(2026, 8, 16, 2, tzinfo=datetime.UTC)
    make_closed(stand, starts_at=night, ends_at=night + 4 * HOUR, date=datetime.date(2026, 8, 15))
    until = make_grant(group, stand, ends_on=datetime.date(2026, 8, 15))
    since = make_grant(group, stand, name="Since", starts_on=datetime.date(2026, 8, 16))
    assert services.claim_eligible(grant=since, actor=coordinator, now=END) == 0
    assert services.claim_eligible(grant=until, actor=coordinator, now=END) == 1


def test_one_day_can_be_claimed_alone(group, stand, coordinator):
    first, _second = make_closed(stand), make_closed(stand)
    grant = make_grant(group, stand)
    assert services.claim_eligible(grant=grant, actor=coordinator, now=END, days=[first]) == 1
    assert Claim.objects.get().entry.day == first


def test_a_correction_takes_the_claim_along(group, stand, coordinator):
    day = make_closed(stand)
    grant = make_grant(group, stand)
    member = factories.make_member(group)
    (entry,) = travel(day, member, actor=coordinator, now=END)
    claim(grant, entry, coordinator)
    new = services.correct_entry(
        entry=entry, started_at=START - HOUR / 2, ended_at=START, reason="half", actor=coordinator, now=END
    )
    assert Claim.objects.get().entry == new
    assert (new.evidence, new.kind, new.minutes) == ("31 km by car from Larkholm", "travel", 30)
