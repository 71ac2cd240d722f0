"""Decisions about which reed a stand is: an organizer's alone."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import (
    AuthorityNameless,
    CheckOfAnotherStand,
    ChecksArrived,
    DecisionAgainstFindings,
    DecisionWithoutCheck,
    DecisionWithoutReason,
)
from reedcrew.stands.models import IdentificationCheck, IdentificationDecision, Stand
from reedcrew.stands.queries import unsettled_checks
from reedcrew.stands.services.checks import apply_standing
from reedcrew.stands.services.rows import locked
from reedcrew.trade.identification import Authority, Identification, judge_decision


@transaction.atomic
def decide_identification(
    *,
    stand: Stand,
    result: Identification,
    authority: Authority,
    reason: str,
    known: int,
    actor: Account,
    now: datetime.datetime,
    authority_name: str = "",
    checks: Sequence[IdentificationCheck] = (),
    submission: uuid.UUID | None = None,
) -> IdentificationDecision:
    """Decide which reed a stand is. Only INTRODUCED opens it for work days (design, rule 2).

    ``known`` is the key of the latest check that the organizer has seen, 0 where there is none: a decision never covers
    a check that came meanwhile. ``authority_name`` names the test with its laboratory, or the person, and is empty for
    findings. The same ``submission`` again returns the first record.

    Raises ChecksArrived, DecisionAgainstFindings (with what would be right), DecisionWithoutCheck for INTRODUCED by
    findings that names no check which found it, AuthorityNameless, DecisionWithoutReason, CheckOfAnotherStand,
    RemovedMeanwhile, and ValidationError for a value that the model refuses.
    """
    row = locked(stand)
    if submission and (first := row.decisions.filter(submission=submission).first()):
        return first
    latest = row.checks.order_by("-pk").first()
    if known != (latest.pk if latest else 0):
        raise ChecksArrived
    _ask_whole(row, authority, authority_name, reason, checks)
    verdict = judge_decision(result, authority, unsettled_checks(row))
    if not verdict.allowed:
        raise DecisionAgainstFindings(reasons=verdict.reasons)
    if result is Identification.INTRODUCED and not authority.settles and not _has_found_it(checks):
        raise DecisionWithoutCheck
    decision = IdentificationDecision(
        stand=row,
        result=result.value,
        authority=authority.value,
        authority_name=authority_name.strip() if authority.settles else "",
        latest_known=latest,
        reason=reason.strip(),
        decided_by=actor,
        decided_at=now,
        submission=submission,
    )
    decision.full_clean()
    decision.save()
    decision.checks.set(checks)
    record(
        group=stand.site.group,
        actor=actor,
        at=now,
        deed="identification decided",
        subject=row,
        result=result.value,
        authority=authority.value,
        checks=sorted(check.pk for check in checks),
    )
    apply_standing(row, now=now)
    stand.identification = row.identification
    return decision


# --- Private ---------------------------------------------------------------------------------------------------------


def _ask_whole(
    row: Stand, authority: Authority, authority_name: str, reason: str, checks: Sequence[IdentificationCheck]
) -> None:
    if authority.settles and not authority_name.strip():
        raise AuthorityNameless
    if not reason.strip():
        raise DecisionWithoutReason
    if any(check.stand_id != row.pk for check in checks):
        raise CheckOfAnotherStand


def _has_found_it(checks: Sequence[IdentificationCheck]) -> bool:
    return any(check.result == Identification.INTRODUCED.value for check in checks)
