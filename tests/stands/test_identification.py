"""Checks, decisions and what they open or close: rule 2 of the design."""

import datetime
import uuid
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.stands import services, signals
from reedcrew.stands.errors import (
    AuthorityNameless,
    CheckInFuture,
    CheckOfAnotherStand,
    ChecksArrived,
    DecisionAgainstFindings,
    DecisionWithoutCheck,
    DecisionWithoutReason,
    NothingObserved,
    RemovedMeanwhile,
)
from reedcrew.stands.models import IdentificationCheck, IdentificationDecision, Stand
from reedcrew.stands.queries import identification_panel
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.identification import Authority, Identification, Observation, Opinion, Sheaths, Source, Spots
from tests.factories import (
    NOW,
    SEES_INTRODUCED,
    SEES_LITTLE,
    SEES_NATIVE,
    make_account,
    make_check,
    make_decision,
    make_group,
    make_member,
    make_site,
    make_stand,
)

pytestmark = pytest.mark.django_db

TODAY = datetime.date(2026, 8, 10)
INTRODUCED, NATIVE, NOT_SURE = Identification.INTRODUCED, Identification.NATIVE, Identification.NOT_SURE
CONTRADICTS = Observation(sheaths=Sheaths.RETAINED, spots=Spots.SEEN)


@contextmanager
def heard():
    """The stands whose identification changes inside the block."""
    told = []

    def listen(sender, stand, **said):
        told.append(stand)

    signals.identification_changed.connect(listen)
    try:
        yield told
    finally:
        signals.identification_changed.disconnect(listen)


@pytest.fixture
def stand():
    return make_stand(make_group(), identification=Identification.UNCHECKED.value)


def record(stand, observation=SEES_INTRODUCED, **values):
    facts = {"checked_on": TODAY, "actor": make_account(), "now": NOW, **values}
    return services.record_check(stand=stand, observation=observation, **facts)


def decide(stand, result=INTRODUCED, **values):
    latest = stand.checks.order_by("-pk").first()
    facts = {
        "authority": Authority.FINDINGS,
        "reason": "Two people agree.",
        "known": latest.pk if latest else 0,
        "checks": list(stand.checks.all()),
        "actor": make_account(),
        "now": NOW,
        **values,
    }
    return services.decide_identification(stand=stand, result=result, **facts)


def state_of(stand):
    return Stand.objects.get(pk=stand.pk).identification


# --- Checks ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seen", "found"), [(SEES_INTRODUCED, INTRODUCED), (SEES_NATIVE, NATIVE), (SEES_LITTLE, NOT_SURE)]
)
def test_a_check_keeps_what_was_seen_and_what_that_finds_and_opens_nothing(stand, seen, found):
    actor = make_account()
    with heard() as told:
        check = record(stand, seen, actor=actor, note="Ten stems")
    check.refresh_from_db()
    assert (check.seen, check.result, check.finding.result) == (seen, found, found)
    assert (check.checked_by, check.checked_on, check.recorded_at, check.note) == (actor, TODAY, NOW, "Ten stems")
    assert state_of(stand) == Identification.UNCHECKED
    assert told == []
    assert AuditEntry.objects.get().detail == {"result": found.value, "checked_on": "2026-08-10"}


def test_several_people_s_checks_are_kept(stand):
    for _number in range(3):
        record(stand)
    panel = identification_panel(stand)
    assert (len(panel.checks), panel.people) == (3, 3)
    assert dict(panel.counts) == {"introduced": 3, "native": 0, "not sure": 0}


def test_a_native_finding_closes_an_open_stand_until_an_organizer_decides(stand):
    record(stand)
    decide(stand)
    with heard() as told:
        record(stand, SEES_NATIVE)
    assert (state_of(stand), stand.identification) == (NOT_SURE, NOT_SURE)
    assert told == [stand]
    held = identification_panel(stand).standing
    assert held.decide_again
    assert [each.code for each in held.reasons] == ["standing.closed_by_check", "standing.decide_again"]


def test_an_old_look_that_is_recorded_late_closes_it_too(stand):
    record(stand)
    decide(stand)
    record(stand, SEES_NATIVE, checked_on=TODAY - datetime.timedelta(days=400))
    assert state_of(stand) == NOT_SURE


def test_a_check_with_one_sign_of_the_native_reed_marks_an_open_stand(stand):
    record(stand)
    decide(stand)
    check = record(stand, CONTRADICTS)
    assert check.native_sign
    assert state_of(stand) == INTRODUCED
    assert identification_panel(stand).standing.decide_again


def test_no_check_opens_a_stand_that_was_decided_native(stand):
    record(stand, SEES_NATIVE)
    decide(stand, NATIVE)
    record(stand)
    assert state_of(stand) == NATIVE
    assert identification_panel(stand).standing.decide_again


def test_a_genetic_test_is_kept_with_its_name_and_outweighs_the_characters(stand):
    opinion = Opinion(source=Source.GENETIC_TEST, name="Leaf test 7, a laboratory", result=NATIVE)
    check = record(stand, SEES_INTRODUCED, opinion=opinion)
    check.refresh_from_db()
    assert (check.result, check.opinion) == (NATIVE, opinion)


def test_a_genetic_test_alone_is_a_check_and_nothing_at_all_is_none(stand):
    opinion = Opinion(source=Source.GENETIC_TEST, name="Leaf test 7, a laboratory", result=INTRODUCED)
    assert record(stand, Observation(), opinion=opinion).result == INTRODUCED
    with pytest.raises(NothingObserved):
        record(stand, Observation())


def test_a_measure_that_no_reed_can_have_is_no_check(stand):
    with pytest.raises(UnusableInput) as refused:
        record(stand, Observation(ligule_mm=Decimal(50)))
    assert refused.value.faults[0].where == "ligule_mm"
    assert not IdentificationCheck.objects.exists()


def test_a_check_pressed_twice_is_one_check_and_its_token_hides_no_other_stand_s(stand):
    token, other = uuid.uuid4(), make_stand(make_group())
    first = record(stand, submission=token)
    assert record(stand, submission=token) == first
    assert record(other, submission=token) != first


def test_a_check_of_tomorrow_is_refused_by_the_clock_of_the_site():
    """At 12:00 UTC on the 10th it is the 11th already on Kiritimati (UTC+14)."""
    tomorrow = TODAY + datetime.timedelta(days=1)
    record(make_stand(make_group(), site=make_site(make_group(), time_zone="Pacific/Kiritimati")), checked_on=tomorrow)
    with pytest.raises(CheckInFuture):
        record(make_stand(make_group()), checked_on=tomorrow)


def test_a_check_of_a_stand_that_is_gone_is_refused(stand):
    Stand.objects.all().delete()
    with pytest.raises(RemovedMeanwhile):
        record(stand)


def test_the_database_refuses_half_an_opinion(stand):
    with pytest.raises(IntegrityError), transaction.atomic():
        make_check(stand, asked="genetic test", asked_name="A laboratory")


# --- Decisions -------------------------------------------------------------------------------------------------------


def test_an_organizer_opens_a_stand_on_checks_that_found_it(stand):
    check, actor = record(stand), make_account()
    with heard() as told:
        decision = decide(stand, actor=actor)
    decision.refresh_from_db()
    assert (state_of(stand), stand.may_be_cut, told) == (INTRODUCED, True, [stand])
    assert (list(decision.checks.all()), decision.latest_known, decision.decided_by) == ([check], check, actor)
    entry = AuditEntry.objects.get(deed="identification decided")
    assert entry.detail == {"result": "introduced", "authority": "findings", "checks": [check.pk]}


@pytest.mark.parametrize(
    ("seen", "code"),
    [
        ([], "decision.no_check_found_it"),
        ([SEES_LITTLE], "decision.no_check_found_it"),
        ([SEES_INTRODUCED, SEES_NATIVE], "decision.native_found"),
    ],
)
def test_introduced_against_the_findings_is_refused_with_what_would_be_right(stand, seen, code):
    for each in seen:
        record(stand, each)
    with pytest.raises(DecisionAgainstFindings, match="can't be confirmed as introduced") as refused:
        decide(stand)
    assert code in {each.code for each in refused.value.reasons}
    assert "genetic test" in str(refused.value)
    assert state_of(stand) == Identification.UNCHECKED


@pytest.mark.parametrize("authority", [Authority.GENETIC_TEST, Authority.QUALIFIED_PERSON])
def test_a_named_test_or_person_opens_it_against_the_findings_and_settles_them(stand, authority):
    record(stand, SEES_NATIVE)
    with pytest.raises(AuthorityNameless):
        decide(stand, authority=authority, authority_name="  ")
    decide(stand, authority=authority, authority_name="Leaf test 7")
    assert state_of(stand) == INTRODUCED
    record(stand)
    decide(stand)  # the native finding was settled, so findings may decide again
    assert state_of(stand) == INTRODUCED


def test_a_decision_by_findings_settles_nothing(stand):
    record(stand)
    decide(stand)
    record(stand, SEES_NATIVE)
    with pytest.raises(DecisionAgainstFindings):
        decide(stand)
    assert state_of(stand) == NOT_SURE


@pytest.mark.parametrize("result", [NATIVE, NOT_SURE])
@pytest.mark.parametrize("seen", [[], [SEES_INTRODUCED], [SEES_LITTLE, SEES_NATIVE]])
def test_protecting_a_stand_is_always_allowed(stand, result, seen):
    for each in seen:
        record(stand, each)
    decide(stand, result)
    assert state_of(stand) == result


def test_a_decision_names_its_checks_and_its_reason(stand):
    record(stand)
    doubtful = record(stand, SEES_LITTLE)
    foreign = make_check(make_stand(make_group()))
    with pytest.raises(DecisionWithoutCheck):
        decide(stand, checks=[doubtful])
    with pytest.raises(CheckOfAnotherStand):
        decide(stand, checks=[foreign])
    with pytest.raises(DecisionWithoutReason):
        decide(stand, reason=" ")
    assert not stand.decisions.exists()


def test_no_decision_covers_a_check_that_its_organizer_has_not_seen(stand):
    known = record(stand).pk
    record(stand, SEES_NATIVE)
    with pytest.raises(ChecksArrived):
        decide(stand, NATIVE, known=known)


def test_a_decision_pressed_twice_is_one(stand):
    record(stand)
    token = uuid.uuid4()
    first = decide(stand, submission=token)
    assert decide(stand, submission=token) == first
    assert IdentificationDecision.objects.count() == 1


def test_the_name_of_a_test_goes_with_a_test_only(stand):
    record(stand)
    assert decide(stand, authority_name="left over").authority_name == ""
    with pytest.raises(IntegrityError), transaction.atomic():
        make_decision(stand, INTRODUCED, authority_name="")


def test_the_panel_says_who_decided_and_on_how_many_checks(stand):
    organizer = make_member(stand.site.group, role=Role.ORGANIZER, name="Robin Alder")
    record(stand, actor=organizer.account)
    record(stand)
    decide(stand, actor=organizer.account)
    panel: Any = identification_panel(stand)  # the names are annotations
    assert (panel.decision.decided_by_name, panel.decision.check_count) == ("Robin Alder", 2)
    assert {check.recorded_by for check in panel.checks} == {"Robin Alder", None}


def test_the_panel_takes_two_queries_however_many_checks(stand, django_assert_num_queries):
    for _number in range(3):
        make_check(stand)
    make_decision(stand, INTRODUCED)
    for _number in range(20):
        make_check(stand, SEES_NATIVE)
    with django_assert_num_queries(2):
        panel = identification_panel(stand)
        assert (len(panel.checks), panel.native_found, len(panel.shown)) == (23, 20, 5)
        assert panel.standing.result is NOT_SURE
