"""Why the planner of a day refuses something."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class DayNotPlannable(ReedcrewError):
    code = "day_not_plannable"
    sentence = _("This day is %(status)s or over: it is not planned any more.")


class StandNotConfirmed(ReedcrewError):
    """Design, rule 2: nobody is planned to cut what may be the native reed."""

    code = "stand_not_confirmed"
    sentence = _(
        "%(stand)s is not confirmed as the introduced reed (it is: %(state)s), so nobody is planned to cut there. An "
        "organizer has to decide which reed it is, or the day is cancelled."
    )


class PlanSuperseded(ReedcrewError):
    code = "plan_superseded"
    sentence = _("A newer plan was made since you opened the page. Look at it, then accept it.")


class PlanIsDue(ReedcrewError):
    code = "plan_is_due"
    sentence = _("Something changed since this plan was made. Plan anew, look at the result, then accept it.")


class PlanDoesNotStand(ReedcrewError):
    code = "plan_does_not_stand"
    sentence = _("This plan keeps the rules no longer: %(why)s Plan anew, look at the result, then accept it.")


class NotOfThisDay(ReedcrewError):
    code = "not_of_this_day"
    sentence = _("Choose a person and a zone of this day.")


class PinnedAlready(ReedcrewError):
    code = "pinned_already"
    sentence = _("This is pinned already.")


class PinRefused(ReedcrewError):
    """A pin that breaks a hard rule. ``code`` is the rule's, H1 to H11, or "pins" for what only all together break."""

    sentence = _("%(code)s: %(why)s")

    def __init__(self, *, code: str, why: str, field: str) -> None:
        super().__init__(code=code, why=why)
        self.code = code
        self.field = field
