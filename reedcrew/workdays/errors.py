"""Why something about a work day is refused."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class WorkDayError(ReedcrewError):
    """Base of this app's refusals."""


class StandProtected(WorkDayError):
    """Design, rule 2: only a stand confirmed as the introduced subspecies may be cut."""

    code = "stand_protected"
    field = "stand"
    sentence = _(
        "%(stand)s is not confirmed as the introduced subspecies (it is: %(state)s), so no day can be posted on it. "
        "Record a check of the stand, then let an organizer decide; ask a qualified person if in doubt."
    )


class OutsideWindow(WorkDayError):
    """Design, rule 1: outside the permitted weeks a day needs a written reason."""

    code = "outside_window"
    field = "window_reason"
    sentence = _(
        "%(date)s is outside the permitted weeks of this site (%(opens)s to %(closes)s). "
        "Choose a date inside them, or write down why this day is allowed and by whom."
    )


class ClosedByAuthority(WorkDayError):
    """A notice or an authority's own weeks close the day: only a permit of theirs opens it."""

    code = "closed_by_authority"
    sentence = _(
        "%(date)s is closed by %(authorities)s. Choose another date, or, where they have given a permit for this day, "
        "write down why the day is needed and name the permit. A day without places in water, on zones that are dry, "
        "may stay open where only work in water is closed."
    )

    def __init__(self, *, field: str, **values: object) -> None:
        super().__init__(**values)
        self.field = field


class TooManyDays(WorkDayError):
    code = "too_many_days"
    sentence = _("The group has posted %(limit)s days since this time yesterday. Post the next one tomorrow.")


class EndNotAfterStart(WorkDayError):
    code = "end_not_after_start"
    field = "ends_at"
    sentence = _("The day must end after it starts: give an end later than the start.")


class DayTooLong(WorkDayError):
    code = "day_too_long"
    field = "ends_at"
    sentence = _("A day may last at most %(hours)d hours: give an earlier end, or post two days.")


class DayInPast(WorkDayError):
    code = "day_in_past"
    field = "starts_at"
    sentence = _("The day would start in the past: give a start later than now.")


class ZonesOfAnotherStand(WorkDayError):
    code = "zones_of_another_stand"
    field = "zones"
    sentence = _("Choose at least one zone, and only zones of %(stand)s.")


class NoPlaces(WorkDayError):
    code = "no_places"
    field = "water_places"
    sentence = _("Give at least one place in water or on land.")


class PostedOtherwise(WorkDayError):
    """The token of a form came again with other words: nothing is dropped unseen."""

    code = "posted_otherwise"
    sentence = _(
        "This form posted “%(title)s” already, with other words or figures, and those stand. Edit that day, or open "
        "the page again to post another."
    )


class DaysRefused(WorkDayError):
    """Of days that are posted together some are refused; then none is. ``refusals`` go by their place in the list."""

    code = "days_refused"
    sentence = _("No day is posted yet: mend the dates that are named first.")

    def __init__(self, refusals: Mapping[int, WorkDayError]) -> None:
        super().__init__()
        self.refusals = refusals


class DayHasPeople(WorkDayError):
    code = "day_has_people"
    sentence = _(
        "Somebody has signed up for “%(title)s”: it can not be taken back unseen. Cancel it with a reason that people "
        "read."
    )


class FewerPlacesThanPeople(WorkDayError):
    code = "fewer_places_than_people"
    sentence = _("%(people)d people are confirmed %(place)s already: give at least so many places.")

    def __init__(self, *, field: str, **values: object) -> None:
        super().__init__(**values)
        self.field = field


class StaleDay(WorkDayError):
    code = "stale"
    sentence = _(
        "Somebody changed this day since you opened the form. What you entered is still here: "
        "compare it with the day as it is now, then save again."
    )


class DayNotOpen(WorkDayError):
    code = "day_not_open"
    sentence = _("This day is %(status)s: nothing can be changed any more.")


class DayOver(WorkDayError):
    code = "day_over"
    sentence = _("This day is over: nobody can sign up or withdraw any more.")


class CancelNeedsReason(WorkDayError):
    code = "cancel_needs_reason"
    field = "reason"
    sentence = _("Write why the day is cancelled: everybody who signed up is told.")


class SignedUpOtherwise(WorkDayError):
    code = "signed_up_otherwise"
    sentence = _("%(name)s has signed up for this day already, %(place)s. Withdraw first to choose another place.")


class NotInYourCare(WorkDayError):
    code = "not_in_your_care"
    status = 403
    sentence = _("You can sign up yourself and the children whose guardian you are, nobody else.")


class GuardianMissing(WorkDayError):
    """Design, H3: a minor is beside their own guardian."""

    code = "guardian_missing"
    sentence = _("%(name)s is under 18 and can only come with their guardian: sign up the guardian for this day too.")


class GuardianNotInWater(WorkDayError):
    code = "guardian_not_in_water"
    sentence = _(
        "%(name)s is under 18 and may be in shallow water only in a unit with their own guardian: "
        "choose “in water” for the guardian too, or “on land” for %(name)s."
    )


class AbsentBeforeTheDay(WorkDayError):
    code = "absent_before_the_day"
    sentence = _("Nobody is absent before %(date)s. Whoever can not come is taken off the roster.")


class AbsentWithoutPlace(WorkDayError):
    code = "absent_without_place"
    sentence = _("%(name)s has no confirmed place on this day, so nobody waits for them.")


class NoPlaceForYou(WorkDayError):
    """The offer has lapsed and the place went to somebody else, or none was offered yet."""

    code = "no_place_for_you"
    sentence = _("No place is free for you at the moment. You stay on the waiting list and hear from us.")
