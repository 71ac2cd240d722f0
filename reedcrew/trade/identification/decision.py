"""What an organizer may decide about a stand, and what holds for it until they decide again."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.identification.status import Identification
from reedcrew.trade.reasons import Reason, reason


class Authority(StrEnum):
    """What a decision rests on."""

    FINDINGS = "findings"
    GENETIC_TEST = "genetic test"
    QUALIFIED_PERSON = "qualified person"

    @property
    def settles(self) -> bool:
        """Whether it settles what checks found before: a genetic test and a qualified person do."""
        return self is not Authority.FINDINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What one check found. ``native_sign``: a character that decides pointed to the native reed."""

    found: Identification
    native_sign: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """The latest decision of an organizer, and the checks that were recorded after it."""

    result: Identification
    checks_after: tuple[Checked, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionVerdict:
    """Whether a decision is allowed, and why not."""

    allowed: bool
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What holds for a stand, why, and whether an organizer has to decide (again)."""

    result: Identification
    reasons: tuple[Reason, ...]
    decide_again: bool


def judge_decision(result: Identification, authority: Authority, unsettled: Sequence[Checked]) -> DecisionVerdict:
    """Whether an organizer may decide so (convention, on the careful side: a wrong "introduced" does the harm).

    ``unsettled`` are the checks that no earlier decision by genetic test or qualified person has settled. INTRODUCED by
    findings alone needs one of them that found it, and none that found native reed. Anything else may be decided.
    """
    if result is not Identification.INTRODUCED or authority.settles:
        return DecisionVerdict(allowed=True)
    reasons = []
    native = sum(check.found is Identification.NATIVE for check in unsettled)
    if native:
        reasons.append(reason("decision.native_found", count=native))
    if not any(check.found is Identification.INTRODUCED for check in unsettled):
        reasons.append(reason("decision.no_check_found_it"))
    return DecisionVerdict(allowed=not reasons, reasons=tuple(reasons))


def standing(decided: Decided | None, checks: Sequence[Checked]) -> Standing:
    """What holds for a stand by its latest decision and all its ``checks`` (convention, on the careful side).

    Without a decision a stand is UNCHECKED, whatever was found. A check after "introduced" that found native reed
    closes the stand as NOT_SURE until an organizer decides again; one with a sign that decides for native reed, or any
    that contradicts another decision, asks for a new decision and changes nothing.
    """
    if decided is None:
        return Standing(result=Identification.UNCHECKED, reasons=(_undecided(checks),), decide_again=bool(checks))
    held = reason(f"standing.{decided.result.value.replace(' ', '_')}")
    against = sum(_contradicts(check, decided.result) for check in decided.checks_after)
    if not against:
        return Standing(result=decided.result, reasons=(held,), decide_again=False)
    again = reason("standing.decide_again", count=against)
    closed = decided.result is Identification.INTRODUCED and any(
        check.found is Identification.NATIVE for check in decided.checks_after
    )
    if closed:
        by_check = reason("standing.closed_by_check")
        return Standing(result=Identification.NOT_SURE, reasons=(by_check, again), decide_again=True)
    return Standing(result=decided.result, reasons=(held, again), decide_again=True)


# --- Private ---------------------------------------------------------------------------------------------------------


def _undecided(checks: Sequence[Checked]) -> Reason:
    if not checks:
        return reason("standing.not_looked")
    found = [check.found for check in checks]
    return reason(
        "standing.not_decided",
        introduced=found.count(Identification.INTRODUCED),
        native=found.count(Identification.NATIVE),
        not_sure=found.count(Identification.NOT_SURE),
    )


def _contradicts(check: Checked, result: Identification) -> bool:
    if check.found is Identification.NOT_SURE:
        return result is Identification.INTRODUCED and check.native_sign
    return check.found is not result
