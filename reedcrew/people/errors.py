"""Why something about people is refused."""

from collections.abc import Mapping

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class PeopleError(ReedcrewError):
    """Base of this app's refusals."""


class UnknownLanguage(PeopleError):
    code = "unknown_language"
    field = "language"
    sentence = _("The site does not speak that language. Choose one of these: %(languages)s.")
    status = 400


class UnknownUnits(PeopleError):
    code = "unknown_units"
    field = "units"
    sentence = _("Those units are not shown. Choose one of these: %(units)s.")
    status = 400


class RuleValueUnfit(PeopleError):
    """A new value of a rule is outside its range. ``field`` is the first rule at fault."""

    code = "rule_value_unfit"
    sentence = _("%(where)s %(message)s.")

    def __init__(self, *, where: str, message: str) -> None:
        super().__init__(where=where, message=message)
        self.field = where


class TooManyGroups(PeopleError):
    code = "too_many_groups"
    sentence = _("You have founded %(limit)s groups within a day. Found the next one tomorrow.")


class LastOrganizer(PeopleError):
    code = "last_organizer"
    field = "role"
    sentence = _(
        "%(name)s is the only organizer. Make another person an organizer first, because a group always keeps one."
    )


class RoleNeedsAdult(PeopleError):
    code = "role_needs_adult"
    field = "role"
    sentence = _(
        "%(role)s is a role for people of 18 or older, and this person has not said so. "
        "Choose “Volunteer” until they have."
    )


class LeadNeedsAdult(PeopleError):
    """H2 counts only adults, trained or not."""

    code = "lead_needs_adult"
    field = "trained_lead"
    sentence = _("A trained lead is 18 or older, and this person has not said so. Leave this unticked until they have.")


class RoleNeedsAccount(PeopleError):
    code = "role_needs_account"
    field = "email"
    sentence = _("%(role)s needs to sign in. Give the person's address, or choose “Volunteer”.")


class AlreadyMember(PeopleError):
    code = "already_member"
    field = "email"
    sentence = _("This address belongs to %(name)s, who is in the group already.")


class LinesRefused(PeopleError):
    """Of people who are entered together some can not be; then none is. ``refusals`` go by the number of the line."""

    code = "lines_refused"
    field = "people"
    sentence = _("Nobody was entered yet: mend these lines first.")

    def __init__(self, refusals: Mapping[int, PeopleError]) -> None:
        super().__init__()
        self.refusals = refusals

    def __str__(self) -> str:
        lines = [gettext("Line %(line)d: %(why)s") % {"line": line, "why": why} for line, why in self.refusals.items()]
        return " ".join([str(self.sentence), *lines])


class NameTaken(PeopleError):
    code = "name_taken"
    field = "name"
    sentence = _(
        "The group has a person called %(name)s without an address already. If this is somebody else, write the "
        "name so that the two can be told apart."
    )


class AgeContradicts(PeopleError):
    code = "age_contradicts"
    field = "born_on"
    sentence = _("Somebody born on this day is under 18. Correct the date, or take back “18 or older”.")


class BirthDateImpossible(PeopleError):
    code = "birth_date_impossible"
    field = "born_on"
    sentence = _("Nobody was born on this day: give a day in the past, at most %(years)d years ago.")


class BirthDateNeeded(PeopleError):
    code = "birth_date_needed"
    field = "born_on"
    sentence = _("Give the date of birth: it decides on each day whether the person is 18.")


class ChildIsAdult(PeopleError):
    code = "child_is_adult"
    field = "born_on"
    sentence = _("Somebody born on this day is 18 or older and signs up with an address of their own.")


class ConsentNeeded(PeopleError):
    code = "consent_needed"
    field = "consent"
    sentence = _("A child takes part only when a parent or legal guardian agrees: tick this, or add no child.")


class GuardianUnfit(PeopleError):
    code = "guardian_unfit"
    field = "guardian"
    sentence = _("A guardian is another member of the same group who is 18 or older. Choose such a person.")


class ChildNeedsGuardian(PeopleError):
    code = "child_needs_guardian"
    field = "guardian"
    sentence = _("%(name)s has no account of their own and is reached through a guardian. Choose the guardian.")


class MinorNeedsGuardian(PeopleError):
    """H3: below 18 only in a unit with the own guardian."""

    code = "minor_needs_guardian"
    field = "water_ready"
    sentence = _(
        "A person under 18 is in water only beside their own guardian, and no guardian is entered here. Leave this "
        "unticked; an organizer can enter the guardian. If you are 18 or older, say so above."
    )


class NoJacketSoLight(PeopleError):
    """H5: below the lightest class there is no life jacket, so no work in water."""

    code = "no_jacket_so_light"
    field = "body_mass"
    sentence = _(
        "There is no life jacket for a body mass under %(kg)s kg, so this person stays on land. Take back “willing and "
        "able to work in water”, or correct the body mass."
    )


class WishOfOneself(PeopleError):
    code = "wish_of_oneself"
    field = "other"
    sentence = _("This is the person who asks. Choose somebody else.")


class WishContradicts(PeopleError):
    code = "wish_contradicts"
    field = "other"
    sentence = _(
        "You have asked the opposite for %(name)s already. "
        "Take that back first: nobody can be both beside you and apart."
    )


class WishOutsideGroup(PeopleError):
    code = "wish_outside_group"
    field = "other"
    sentence = _("Choose a person of this group.")


class PrivateClosed(PeopleError):
    """Emergency contacts and health notes are closed to this reader at this time."""

    code = "private_closed"
    status = 403
    sentence = _(
        "Emergency contacts and health notes are open to the group's organizers, and to the crew lead of a day from "
        "the day before to the day after, for the people of that day."
    )


class ReasonForLookNeeded(PeopleError):
    code = "reason_for_look_needed"
    field = "why"
    sentence = _("Write why you look: the person can read it.")
