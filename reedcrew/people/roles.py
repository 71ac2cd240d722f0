"""Who may do what inside a group: the one table of roles and deeds."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _


class Role(TextChoices):
    """What a person is in one group."""

    ORGANIZER = "organizer", _("Organizer")
    COORDINATOR = "coordinator", _("Coordinator")
    CREW_LEAD = "crew_lead", _("Crew lead")
    VOLUNTEER = "volunteer", _("Volunteer")


class Deed(StrEnum):
    """Something that a person does or looks at inside a group."""

    SEE_GROUP = "see the group's days and stands"
    KEEP_GROUP = "change the group and its rules"
    KEEP_PEOPLE = "add people and change their roles"
    SEE_PEOPLE = "see the people of the group"
    SEE_PRIVATE = "see emergency contacts and health notes"
    KEEP_STANDS = "change sites, stands and zones"
    CHECK_REED = "record which reed a stand looks like"
    SEE_STOCK = "see the stock"
    KEEP_STOCK = "change the stock"
    HANDLE_GEAR = "hand out gear, take it back, clean and dry it"
    POST_DAY = "post, edit and cancel work days"
    SEE_ROSTER = "see who has signed up"
    PLAN_CREWS = "plan pairs, roles and gear"
    PIN_CREWS = "pin pairs, roles and zones of a plan"
    RUN_DAY = "sign people in and out, record stems and loads"
    READ_INCIDENTS = "read the incidents of every day"
    SEE_MAIL = "see the outgoing mail"
    SEE_HOURS = "see hours and grants"
    APPROVE_HOURS = "approve the hours of a day and open them again"
    KEEP_GRANTS = "correct hours, keep grants and export"
    IMPORT_EARLIER = "take over earlier seasons from a spreadsheet"
    SEE_SEASON = "see the season's sums and take open data"
    KEEP_OPEN_DATA = "choose what of the group's records is open"
    KEEP_TOKENS = "let other programs read by tokens"
    KEEP_WEBHOOKS = "have other programs told of days"


_EVERYONE = frozenset(Role)
_STAFF = frozenset({Role.ORGANIZER, Role.COORDINATOR, Role.CREW_LEAD})
_ORGANIZERS = frozenset({Role.ORGANIZER})
_FIELD = frozenset({Role.ORGANIZER, Role.CREW_LEAD})
_OFFICE = frozenset({Role.ORGANIZER, Role.COORDINATOR})

MAY: Mapping[Deed, frozenset[Role]] = MappingProxyType(
    {
        Deed.SEE_GROUP: _EVERYONE,
        Deed.KEEP_GROUP: _ORGANIZERS,
        Deed.KEEP_PEOPLE: _ORGANIZERS,
        Deed.SEE_PEOPLE: _STAFF,
        Deed.SEE_PRIVATE: _FIELD,
        Deed.KEEP_STANDS: _ORGANIZERS,
        Deed.CHECK_REED: _EVERYONE,
        Deed.SEE_STOCK: _STAFF,
        Deed.KEEP_STOCK: _ORGANIZERS,
        Deed.HANDLE_GEAR: _FIELD,
        Deed.POST_DAY: _ORGANIZERS,
        Deed.SEE_ROSTER: _STAFF,
        Deed.PLAN_CREWS: _FIELD,
        Deed.PIN_CREWS: _ORGANIZERS,
        Deed.RUN_DAY: _FIELD,
        Deed.READ_INCIDENTS: _ORGANIZERS,
        Deed.SEE_MAIL: _ORGANIZERS,
        Deed.SEE_HOURS: _OFFICE,
        Deed.APPROVE_HOURS: _OFFICE,
        Deed.KEEP_GRANTS: _OFFICE,
        Deed.IMPORT_EARLIER: _OFFICE,
        Deed.SEE_SEASON: _EVERYONE,
        Deed.KEEP_OPEN_DATA: _OFFICE,
        Deed.KEEP_TOKENS: _OFFICE,
        Deed.KEEP_WEBHOOKS: _ORGANIZERS,
    }
)


# Who must have a passkey or an authenticator app beside the mailed code, where the installation asks for it; and what
# waits until they have. What a crew lead may do too stays open: nobody is shut out of a day in the field by it.
SECOND_STEP_ROLES = _OFFICE
SECOND_STEP_DEEDS = frozenset(deed for deed, roles in MAY.items() if roles <= SECOND_STEP_ROLES)


def may(role: str, deed: Deed) -> bool:
    """Whether a person of this role may do this deed in their own group."""
    return role in MAY[deed]
