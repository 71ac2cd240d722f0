"""Why gear of a day is not handed out."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class GearDayClosed(ReedcrewError):
    code = "gear_day_closed"
    sentence = _("This day is %(status)s: nothing is handed out any more. What is still out can be taken back.")


class NotOfTheDay(ReedcrewError):
    code = "not_of_the_day"
    field = "member"
    sentence = _("%(name)s has no place on this day, so nothing is handed out to them.")


class NoBladeUnder18(ReedcrewError):
    """Conservative: local rules on the work of minors decide."""

    code = "no_blade_under_18"
    sentence = _("%(name)s is under 18 and is handed no blade: take “%(item)s” off the list.")
