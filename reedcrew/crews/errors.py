"""Why the planner of a day refuses something."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class DayNotPlannable(ReedcrewError):
    code = "day_not_plannable"
    sentence = _("This day is %(status)s or over: it is not planned any more.")
