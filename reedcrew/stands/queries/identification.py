"""Which reed a stand is: what holds, why, and on what it rests."""

from dataclasses import dataclass

from django.db.models import Count, Max, QuerySet

from reedcrew.people.queries import member_name
from reedcrew.stands.models import IdentificationCheck, IdentificationDecision, Stand
from reedcrew.trade.identification import (
    Authority,
    Checked,
    Decided,
    Identification,
    Standing,
    standing,
)

CHECKS_SHOWN = 5  # on the stand's own page; all of them are one click away


@dataclass(frozen=True, slots=True, kw_only=True)
class IdentificationPanel:
    """What a stand's page says of its subspecies. ``checks`` come with ``recorded_by`` and ``photo_count``."""

    standing: Standing
    decision: IdentificationDecision | None
    checks: tuple[IdentificationCheck, ...]

    @property
    def shown(self) -> tuple[IdentificationCheck, ...]:
        return self.checks[:CHECKS_SHOWN]

    @property
    def people(self) -> int:
        """How many people checked it."""
        return len({check.checked_by_id for check in self.checks})

    @property
    def counts(self) -> tuple[tuple[str, int], ...]:
        """How many checks found what, in words, the most telling first."""
        found = [check.result for check in self.checks]
        return tuple((str(words), found.count(value)) for value, words in Stand.IDENTIFICATIONS[1:])

    @property
    def native_found(self) -> int:
        return sum(check.result == Identification.NATIVE.value for check in self.checks)


def checks_of(stand: Stand) -> "QuerySet[IdentificationCheck]":
    """The checks of a stand, the latest first, each with the name of who made it and its number of photos."""
    named = stand.checks.annotate(
        recorded_by=member_name(group="stand__site__group", account="checked_by"), photo_count=Count("photos")
    )
    return named.order_by("-checked_on", "-recorded_at", "-pk")  # counting drops the model's own order


def latest_decision(stand: Stand) -> IdentificationDecision | None:
    """The decision that holds, with ``decided_by_name`` and ``check_count``; None for a stand without any."""
    named = stand.decisions.annotate(
        decided_by_name=member_name(group="stand__site__group", account="decided_by"), check_count=Count("checks")
    )
    return named.order_by("-pk").first()


def standing_of(stand: Stand) -> Standing:
    """What holds for a stand by its rows. Inside a service the stand's row is locked."""
    return _standing(stand.decisions.order_by("-pk").first(), list(stand.checks.all()))


def unsettled_checks(stand: Stand) -> tuple[Checked, ...]:
    """The checks that no earlier decision by genetic test or qualified person has settled."""
    settled = stand.decisions.exclude(authority=Authority.FINDINGS.value).aggregate(to=Max("latest_known"))["to"] or 0
    return tuple(check.checked for check in stand.checks.filter(pk__gt=settled))


def identification_panel(stand: Stand) -> IdentificationPanel:
    """The panel of one stand; two queries, however many checks."""
    decision, checks = latest_decision(stand), tuple(checks_of(stand))
    return IdentificationPanel(standing=_standing(decision, checks), decision=decision, checks=checks)


# --- Private ---------------------------------------------------------------------------------------------------------


def _standing(
    decision: IdentificationDecision | None, checks: "tuple[IdentificationCheck, ...] | list[IdentificationCheck]"
) -> Standing:
    decided = None
    if decision is not None:
        known = decision.latest_known_id or 0
        later = tuple(check.checked for check in checks if check.pk > known)
        decided = Decided(result=Identification(decision.result), checks_after=later)
    return standing(decided, [check.checked for check in checks])
