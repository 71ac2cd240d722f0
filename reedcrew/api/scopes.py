"""What a token may read, and what its maker must be allowed to do for it: a token never does more than its maker."""

from collections.abc import Mapping
from types import MappingProxyType

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _

from reedcrew.people.roles import Deed, may


class Scope(TextChoices):
    """One kind of data that a token opens."""

    STANDS = "stands", _("Stands with zones, state of the reed and densities")
    OUTLINES = "outlines", _("Outlines of stands and zones, exactly as members see them")
    DAYS = "days", _("Work days with places and numbers of people")
    PLANS = "plans", _("Plans: who works where, people by their codes")
    HOURS = "hours", _("Lines of the hours ledger, people by their codes")
    NAMES = "names", _("Names of adults beside their codes, in plans and hours")


NEEDS: Mapping[Scope, Deed] = MappingProxyType(
    {
        Scope.STANDS: Deed.SEE_GROUP,
        Scope.OUTLINES: Deed.SEE_GROUP,
        Scope.DAYS: Deed.SEE_GROUP,
        Scope.PLANS: Deed.SEE_ROSTER,
        Scope.HOURS: Deed.SEE_HOURS,
        Scope.NAMES: Deed.SEE_PEOPLE,
    }
)


def scopes_of(role: str) -> list[Scope]:
    """The scopes that somebody of this role may give to a token."""
    return [scope for scope in Scope if may(role, NEEDS[scope])]
