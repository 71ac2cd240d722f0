"""What an organizer may decide, and what holds until they decide again: rule 2 of the design, on the careful side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.identification import Authority, Checked, Decided, Identification, judge_decision, standing

INTRODUCED, NATIVE, NOT_SURE = Identification.INTRODUCED, Identification.NATIVE, Identification.NOT_SURE
FOUND_INTRODUCED, FOUND_NATIVE, UNSURE = Checked(found=INTRODUCED), Checked(found=NATIVE), Checked(found=NOT_SURE)
SIGN = Checked(found=NOT_SURE, native_sign=True)

found = st.builds(Checked, found=st.sampled_from([INTRODUCED, NATIVE, NOT_SURE]), native_sign=st.booleans())


@pytest.mark.parametrize(
    ("checks", "allowed", "codes"),
    [
        ([], False, ["decision.no_check_found_it"]),
        ([UNSURE], False, ["decision.no_check_found_it"]),
        ([FOUND_INTRODUCED], True, []),
        ([FOUND_INTRODUCED, UNSURE], True, []),
        ([FOUND_INTRODUCED, FOUND_NATIVE], False, ["decision.native_found"]),
        ([FOUND_NATIVE], False, ["decision.native_found", "decision.no_check_found_it"]),
    ],
)
def test_introduced_by_findings_alone_needs_one_that_found_it_and_none_that_found_native(checks, allowed, codes):
    verdict = judge_decision(INTRODUCED, Authority.FINDINGS, checks)
    assert (verdict.allowed, [each.code for each in verdict.reasons]) == (allowed, codes)


@given(st.lists(found))
def test_a_named_test_or_person_settles_it_and_protecting_is_always_allowed(checks):
    for authority in (Authority.GENETIC_TEST, Authority.QUALIFIED_PERSON):
        assert judge_decision(INTRODUCED, authority, checks).allowed
    for result in (NATIVE, NOT_SURE):
        assert judge_decision(result, Authority.FINDINGS, checks).allowed


@given(st.lists(found))
def test_no_check_opens_a_stand_without_a_decision(checks):
    held = standing(None, checks)
    assert held.result is Identification.UNCHECKED
    assert held.decide_again is bool(checks)
    assert held.reasons[0].code == ("standing.not_decided" if checks else "standing.not_looked")


@pytest.mark.parametrize(
    ("decided", "after", "result", "codes"),
    [
        (INTRODUCED, (), INTRODUCED, ["standing.introduced"]),
        (INTRODUCED, (UNSURE, FOUND_INTRODUCED), INTRODUCED, ["standing.introduced"]),
        (INTRODUCED, (FOUND_NATIVE,), NOT_SURE, ["standing.closed_by_check", "standing.decide_again"]),
        (INTRODUCED, (SIGN,), INTRODUCED, ["standing.introduced", "standing.decide_again"]),
        (NATIVE, (FOUND_NATIVE, UNSURE), NATIVE, ["standing.native"]),
        (NATIVE, (FOUND_INTRODUCED,), NATIVE, ["standing.native", "standing.decide_again"]),
        (NOT_SURE, (SIGN,), NOT_SURE, ["standing.not_sure"]),
        (NOT_SURE, (FOUND_NATIVE,), NOT_SURE, ["standing.not_sure", "standing.decide_again"]),
    ],
)
def test_a_later_check_closes_or_marks_a_stand_and_never_opens_it(decided, after, result, codes):
    held = standing(Decided(result=decided, checks_after=after), after)
    assert (held.result, [each.code for each in held.reasons]) == (result, codes)
    assert held.decide_again is ("standing.decide_again" in codes)


@given(st.sampled_from([INTRODUCED, NATIVE, NOT_SURE]), st.lists(found).map(tuple))
def test_only_the_decision_opens_a_stand_and_one_native_finding_closes_it(decided, after):
    held = standing(Decided(result=decided, checks_after=after), after)
    may = decided is INTRODUCED and not any(check.found is NATIVE for check in after)
    assert held.result.may_be_cut is may
