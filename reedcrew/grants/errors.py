"""Why the ledger or a grant refuses something."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class LedgerError(ReedcrewError):
    """Base of this app's refusals."""


class NameTaken(LedgerError):
    code = "name_taken"
    field = "name"
    sentence = _("The group has a grant of this name already: give another one.")


class AlreadyCorrected(LedgerError):
    code = "already_corrected"
    sentence = _("This entry was corrected already. Correct the newest entry instead.")


class CorrectionNeedsReason(LedgerError):
    code = "correction_needs_reason"
    field = "reason"
    sentence = _("Write why the entry is corrected: an auditor will read it.")


class EndBeforeStart(LedgerError):
    code = "end_before_start"
    field = "ended_at"
    sentence = _("The end must not be before the start.")


class FarFromDay(LedgerError):
    code = "far_from_day"
    field = "started_at"
    sentence = _("The entry is of %(date)s: give times on that day, or on the day before or after.")


class TooManyHours(LedgerError):
    code = "too_many_hours"
    field = "ended_at"
    sentence = _("An entry holds at most %(hours)d hours of one day: check the date of the end.")


class NotEligible(LedgerError):
    code = "not_eligible"
    sentence = _("%(grant)s counts hours on its own stands from %(first)s to %(last)s only: this entry is outside.")


class AlreadyClaimed(LedgerError):
    code = "already_claimed"
    sentence = _("These hours count toward %(grant)s already, and an hour counts toward one grant only.")
