"""Why the ledger, a grant or an import refuses something."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class LedgerError(ReedcrewError):
    """Base of this app's refusals."""


# --- Lines of the ledger ---------------------------------------------------------------------------------------------
class AlreadyCorrected(LedgerError):
    code = "already_corrected"
    sentence = _(
        "This entry was corrected already. Entry %(standing)d stands in its place: %(name)s, %(date)s, %(length)s. "
        "Correct that one."
    )


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


class FarFromWorkDay(LedgerError):
    code = "far_from_work_day"
    field = "started_at"
    sentence = _("The work day is %(date)s: give times at most %(days)d days from it.")


class TooManyHours(LedgerError):
    code = "too_many_hours"
    field = "ended_at"
    sentence = _("An entry holds at most %(hours)d hours of one day: check the date of the end.")


class HoursInFuture(LedgerError):
    code = "hours_in_future"
    field = "ended_at"
    sentence = _("These hours have not ended yet: enter them afterwards.")


class HoursTwice(LedgerError):
    code = "hours_twice"
    field = "started_at"
    sentence = _(
        "%(name)s has other hours at that time: entry %(entry)d, %(kind)s, %(span)s. An hour is entered once: give "
        "times that do not meet it, or correct that entry."
    )


class NeedsEvidence(LedgerError):
    code = "needs_evidence"
    field = "evidence"
    sentence = _("Write what shows these hours, such as the distance driven or a work order.")


class ActivityOfAnotherKind(LedgerError):
    code = "activity_of_another_kind"
    field = "activity"
    sentence = _("“%(activity)s” is no activity of “%(kind)s”: choose one of %(known)s.")


class DayCancelled(LedgerError):
    code = "day_cancelled"
    sentence = _("This work day was cancelled: no hours can be entered for it.")


class DayApproved(LedgerError):
    code = "day_approved"
    sentence = _(
        "The lines of this day were approved by %(name)s on %(date)s and are locked. Open the day again with a reason, "
        "then correct it."
    )


class DayNotClosed(LedgerError):
    code = "day_not_closed"
    sentence = _("This day is not closed: close it in the fieldbook, then approve its hours.")


class NothingToApprove(LedgerError):
    code = "nothing_to_approve"
    sentence = _("This day has no hours to approve.")


class NotApproved(LedgerError):
    code = "not_approved"
    sentence = _("The lines of this day are not approved, so they are open already.")


class ReopeningNeedsReason(LedgerError):
    code = "reopening_needs_reason"
    field = "reason"
    sentence = _("Write why the day is opened again: an auditor will read it.")


# --- Grants ----------------------------------------------------------------------------------------------------------
class NameTaken(LedgerError):
    code = "name_taken"
    field = "name"
    sentence = _("The group has a grant of this name already: give another one.")


class FamilyNameTaken(LedgerError):
    code = "family_name_taken"
    field = "name"
    sentence = _("The group has a family of grants of this name already: give another one.")


class NotEligible(LedgerError):
    code = "not_eligible"
    sentence = _(
        "%(grant)s counts hours on its own stands from %(first)s to %(last)s only, of its kinds and activities: this "
        "entry is outside."
    )


class AlreadyClaimed(LedgerError):
    code = "already_claimed"
    sentence = _(
        "These hours count toward %(grant)s already: %(name)s assigned them on %(date)s. An hour counts toward one "
        "grant only."
    )


class ClaimedInFamily(AlreadyClaimed):
    code = "claimed_in_family"
    sentence = _(
        "These hours count toward %(grant)s already: %(name)s assigned them on %(date)s. Both grants are of the family "
        "%(family)s, and an hour counts once in it."
    )


class TimeClaimed(LedgerError):
    code = "time_claimed"
    sentence = _(
        "At the same time %(person)s has entry %(entry)d, which counts toward %(grant)s already. An hour counts toward "
        "one grant only."
    )


class NotClaimed(LedgerError):
    code = "not_claimed"
    sentence = _("These hours count toward no grant: there is nothing to release.")


class ReleaseNeedsReason(LedgerError):
    code = "release_needs_reason"
    field = "reason"
    sentence = _("Write why the hours no longer count toward the grant: an auditor will read it.")


class RateTwice(LedgerError):
    code = "rate_twice"
    field = "since"
    sentence = _(
        "There is a value for this role from that day already: %(hourly)s %(currency)s. Withdraw it first, or give "
        "another day."
    )


class WithdrawalNeedsReason(LedgerError):
    code = "withdrawal_needs_reason"
    field = "reason"
    sentence = _("Write why the value is withdrawn: an auditor will read it.")


class ReportingDateTwice(LedgerError):
    code = "reporting_date_twice"
    field = "due_on"
    sentence = _("This grant has a report due on that day already.")


class CoversTheFuture(LedgerError):
    code = "covers_the_future"
    field = "covers_to"
    sentence = _("A report covers work before it is due: give a day up to %(due)s.")


# --- Exports ---------------------------------------------------------------------------------------------------------
class OutsidePeriod(LedgerError):
    code = "outside_period"
    field = "first"
    sentence = _("Give a period inside the grant's own, from %(first)s to %(last)s.")


class LedgerMoved(LedgerError):
    code = "ledger_moved"
    sentence = _("Hours of this report were entered or corrected while its file was written. Make the file again.")


# --- Open data -------------------------------------------------------------------------------------------------------
class OpenDataChangedMeanwhile(LedgerError):
    code = "open_data_changed_meanwhile"
    sentence = _("Somebody chose otherwise in the meantime. Look at what the group publishes now, then choose again.")


# --- Earlier seasons -------------------------------------------------------------------------------------------------
class SpreadsheetRefused(LedgerError):
    """Base of the refusals of a whole file."""

    field = "file"


class NoSpreadsheet(SpreadsheetRefused):
    code = "no_spreadsheet"
    sentence = _("Send a file whose name ends in .csv or .xlsx.")


class SpreadsheetNotReadable(SpreadsheetRefused):
    code = "spreadsheet_not_readable"
    sentence = _("This file can't be read beyond row %(row)d: save it again as XLSX, or as CSV in UTF-8.")


class SpreadsheetNotUtf8(SpreadsheetRefused):
    code = "spreadsheet_not_utf8"
    sentence = _("Row %(row)d or one shortly after it is not in UTF-8: save the file again as “CSV UTF-8”, or as XLSX.")


class SpreadsheetTooLarge(SpreadsheetRefused):
    code = "spreadsheet_too_large"
    sentence = _("This file is too large: send at most %(limit)d MB, in several files if need be.")


class TooManyRows(SpreadsheetRefused):
    code = "too_many_rows"
    sentence = _("This file has more than %(limit)d rows: take it over in several files.")


class NoRows(SpreadsheetRefused):
    code = "no_rows"
    sentence = _("This file has no rows below its head.")


class FileTakenOver(SpreadsheetRefused):
    code = "file_taken_over"
    sentence = _("This very file was taken over on %(date)s already. Undo that first if it was wrong.")


class ColumnsMissing(LedgerError):
    code = "columns_missing"
    sentence = _("Say first in which columns these are: %(columns)s.")


class RowsWrong(LedgerError):
    code = "rows_wrong"
    sentence = _("Nothing was taken over: row %(row)d, column %(column)s: %(sentence)s (%(count)d errors in all)")


class NotToTakeOver(LedgerError):
    code = "not_to_take_over"
    sentence = _("This file is %(state)s: upload it again to take it over.")


class NotTakenOver(LedgerError):
    code = "not_taken_over"
    sentence = _("This file is %(state)s: there is nothing to undo.")
