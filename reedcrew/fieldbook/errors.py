"""Why an entry of the fieldbook is refused."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class FieldbookError(ReedcrewError):
    """Base of this app's refusals."""


class FieldbookClosed(FieldbookError):
    code = "fieldbook_closed"
    sentence = _("This day is %(status)s: its fieldbook takes no more entries.")


class TooEarly(FieldbookError):
    code = "too_early"
    field = "at"
    sentence = _("The fieldbook opens %(hours)d hours before the day starts: give a later time, or wait.")


class TooLate(FieldbookError):
    code = "too_late"
    field = "at"
    sentence = _(
        "The fieldbook takes times up to %(hours)d hours after the day ends: give the time at which it happened."
    )


class TimeInFuture(FieldbookError):
    code = "time_in_future"
    field = "at"
    sentence = _("This time is still to come: give the time at which it happened.")


class OutBeforeIn(FieldbookError):
    code = "out_before_in"
    field = "at"
    sentence = _("%(name)s signed in at %(signed_in)s: give a later time to sign out.")


class OverlapsStay(FieldbookError):
    code = "overlaps_stay"
    field = "at"
    sentence = _("%(name)s was on site until %(signed_out)s already: give a later time to sign in.")


class NotOnRoster(FieldbookError):
    code = "not_on_roster"
    sentence = _("%(name)s has no place on this day. Add them as a walk-up first.")


class NoPlaceLeft(FieldbookError):
    code = "no_place_left"
    sentence = _("No place is free %(place)s for %(name)s. An organizer can raise the number of places.")


class GuardianNeeded(FieldbookError):
    """Design, H3: a minor is never on site without their own guardian."""

    code = "guardian_needed"
    field = "guardian"
    sentence = _(
        "%(name)s is under 18: choose the guardian who came along. Somebody who is not in the list is signed in first."
    )


class GuardianNotOnSite(FieldbookError):
    """Design, H3: a minor is never on site without their own guardian."""

    code = "guardian_not_on_site"
    sentence = _("%(name)s is under 18: sign in their guardian first.")


class GuardianNotInWater(FieldbookError):
    """Design, H3: a minor is in water only in a unit with their own guardian."""

    code = "guardian_not_in_water"
    sentence = _("%(name)s is under 18 and their guardian is signed in on land: sign %(name)s in on land too.")


class ChildrenOnSite(FieldbookError):
    code = "children_on_site"
    sentence = _("Sign out %(children)s first: a guardian leaves with or after the children.")


class EntryOfAnotherDay(FieldbookError):
    code = "entry_of_another_day"
    sentence = _("This form was used on another day: open the page again and write it down once more.")


class SentAlready(FieldbookError):
    code = "sent_already"
    sentence = _(
        "This form was written down already, with other words or figures, and those stand. Open the page again to "
        "write down more, or strike out what was wrong."
    )


class EntryStruck(FieldbookError):
    code = "entry_struck"
    sentence = _("This entry was struck out meanwhile: sign the person in again if they are on site.")


class ZoneOfAnotherDay(FieldbookError):
    code = "zone_of_another_day"
    field = "zone"
    sentence = _("Choose one of the day's zones.")


class StrikeNeedsReason(FieldbookError):
    code = "strike_needs_reason"
    field = "reason"
    sentence = _("Write why the entry is struck out.")


class PeopleOnSite(FieldbookError):
    """Nobody is forgotten: a day can't be closed or cancelled while somebody is signed in."""

    code = "people_on_site"
    sentence = _("Still signed in: %(names)s. Sign everyone out before the day is closed or cancelled.")


class StillOnSite(FieldbookError):
    """Nobody is forgotten: whoever is on site keeps the place by which the sign-in page finds them."""

    code = "still_on_site"
    sentence = _("%(name)s is signed in on site: the crew lead signs them out first.")


class WasOnSite(FieldbookError):
    code = "was_on_site"
    sentence = _("%(name)s was signed in on this day, so they did come. Strike the stay out first if it is a mistake.")


class NotStarted(FieldbookError):
    code = "not_started"
    sentence = _("This day has not started yet: it can be closed once the work is done.")


class TooManyDayPhotos(FieldbookError):
    code = "too_many_day_photos"
    field = "photo"
    sentence = _("This day has %(limit)s photos already: strike out one that is not needed.")


class NotSignedIn(FieldbookError):
    code = "not_signed_in"
    field = "members"
    sentence = _("Not signed in on site: %(names)s. Sign them in first.")


class BriefingNotHeard(FieldbookError):
    """Whoever did not hear the whole briefing stays out of the water."""

    code = "briefing_not_heard"
    field = "members"
    sentence = _("Has not heard the briefing: %(names)s. Go through it with them first.")


class BriefingIncomplete(FieldbookError):
    code = "briefing_incomplete"
    field = "items"
    sentence = _("Still to go through: %(titles)s.")


class NobodyNamed(FieldbookError):
    code = "nobody_named"
    field = "members"
    sentence = _("Choose at least one person.")


class UnitMayNotGoIn(FieldbookError):
    """One or more hard rules of the plan speak against it."""

    code = "unit_may_not_go_in"
    field = "members"
    sentence = _("These people may not go in together: %(reasons)s")


class InWaterAlready(FieldbookError):
    code = "in_water_already"
    field = "members"
    sentence = _("Counted in water already: %(names)s.")


class NobodyOnShore(FieldbookError):
    """Design, H10: while anyone is in water an adult watches from the shore."""

    code = "nobody_on_shore"
    field = "members"
    sentence = _("No adult would be left on shore to watch. Somebody signed in stays out of the water.")


class StillInWater(FieldbookError):
    """Nobody is forgotten in the water: out of it first, then off the site."""

    code = "still_in_water"
    sentence = _("Counted in water: %(names)s. Write down that they are out first.")


class CountDiffers(FieldbookError):
    code = "count_differs"
    field = "seen"
    sentence = _(
        "%(seen)d seen, %(expected)d in water by the list. Nobody is taken off it. Find out now who is missing: call "
        "the names, get everybody out, call the emergency number when in doubt. Then put the list right and count "
        "again."
    )


class NoBagsInSun(FieldbookError):
    code = "no_bags_in_sun"
    sentence = _("No bags of this entry lie in the sun: it is a pile, or it was struck out.")


class StillInSun(FieldbookError):
    """Design, rule 6."""

    code = "still_in_sun"
    sentence = _("These bags lie in the sun until %(until)s. Leave them there until then.")


class PaperRefused(FieldbookError):
    """``rows`` says by the name of the row why it was refused."""

    code = "paper_refused"
    sentence = _("Some rows could not be written down. Nothing is saved yet; mend them and send the page again.")

    def __init__(self, rows: dict[str, str]) -> None:
        super().__init__()
        self.rows = rows
