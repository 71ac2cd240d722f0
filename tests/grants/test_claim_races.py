"""Two coordinators press in the same moment: an hour still counts once."""

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections

from reedcrew.grants import errors, services
from reedcrew.grants.models import Claim, HourEntry
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import END
from tests.grants.days import HOUR, make_closed, make_grant

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*deeds: Callable[[], object]) -> list[object]:
    """Do all of them from threads of their own that start together; answers with results and refusals in order."""
    start = threading.Barrier(len(deeds))

    def do(deed: Callable[[], object]) -> object:
        start.wait()
        try:
            return deed()
        except errors.LedgerError as refusal:
            return refusal
        finally:
            connections.close_all()

    with ThreadPoolExecutor(max_workers=len(deeds)) as pool:
        return list(pool.map(do, deeds))


@pytest.fixture
def actor(group):
    return factories.account_of(factories.make_member(group, role=Role.COORDINATOR, name="Tuva Quist"))


@pytest.fixture
def stand(group):
    return factories.make_stand(group)


def test_two_grants_that_claim_the_same_hours_at_once_get_them_once(group, stand, actor):
    make_closed(stand)
    entry = HourEntry.objects.get()
    first, second = make_grant(group, stand), make_grant(group, stand, name="Second")
    found = at_once(
        lambda: services.claim_entry(grant=first, entry=entry, actor=actor, now=END),
        lambda: services.claim_entry(grant=second, entry=entry, actor=actor, now=END),
    )
    held = Claim.objects.get()
    assert sorted(type(each).__name__ for each in found) == ["AlreadyClaimed", "Claim"]
    (refusal,) = [each for each in found if isinstance(each, errors.AlreadyClaimed)]
    assert held.grant.name in str(refusal)


def test_all_eligible_hours_claimed_twice_at_once_are_shared_out_and_not_doubled(group, stand, actor):
    make_closed(stand)
    first, second = make_grant(group, stand), make_grant(group, stand, name="Second")
    counts = at_once(
        *(lambda grant=grant: services.claim_eligible(grant=grant, actor=actor, now=END) for grant in (first, second))
    )
    assert set(counts) == {0, HourEntry.objects.count()}
    assert Claim.objects.count() == HourEntry.objects.count()


def test_a_claim_and_a_correction_at_once_leave_one_line_that_counts(group, stand, actor):
    make_closed(stand)
    entry = HourEntry.objects.get()
    grant = make_grant(group, stand)
    at_once(
        lambda: services.claim_entry(grant=grant, entry=entry, actor=actor, now=END),
        lambda: services.correct_entry(
            entry=entry,
            started_at=entry.started_at,
            ended_at=entry.started_at + HOUR,
            reason="left",
            actor=actor,
            now=END,
        ),
    )
    standing = HourEntry.objects.standing().get()
    assert standing.corrects == entry
    assert set(Claim.objects.values_list("entry", flat=True)) <= {standing.pk}


def test_two_corrections_of_one_line_at_once_make_one(group, stand, actor):
    make_closed(stand)
    entry = HourEntry.objects.get()

    def correct(hours: int) -> HourEntry:
        return services.correct_entry(
            entry=entry,
            started_at=entry.started_at,
            ended_at=entry.started_at + hours * HOUR,
            reason="left",
            actor=actor,
            now=END,
        )

    found = at_once(lambda: correct(1), lambda: correct(2))
    assert sorted(type(each).__name__ for each in found) == ["AlreadyCorrected", "HourEntry"]
    assert HourEntry.objects.count() == 2
