"""Why something about sites, stands and zones is refused."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class StandsError(ReedcrewError):
    """Base of this app's refusals."""


class SiteNameTaken(StandsError):
    code = "site_name_taken"
    field = "name"
    sentence = _("The group has a site named “%(name)s” already. Choose another name.")


class StandNameTaken(StandsError):
    code = "stand_name_taken"
    field = "name"
    sentence = _("This site has a stand named “%(name)s” already. Choose another name.")


class ZoneNameTaken(StandsError):
    code = "zone_name_taken"
    field = "name"
    sentence = _("This stand has a zone named “%(name)s” already. Choose another name.")


class ChangedMeanwhile(StandsError):
    """Somebody saved the row after the form was opened."""

    code = "changed_meanwhile"
    sentence = _("“%(name)s” was changed since you opened it. Open it again and make your change there.")


class RemovedMeanwhile(StandsError):
    code = "removed_meanwhile"
    sentence = _("“%(name)s” is not there any more: somebody removed it.")


class ZoneInUse(StandsError):
    """Records of other parts of the site rest on the zone."""

    code = "zone_in_use"
    sentence = _(
        "The zone “%(name)s” cannot be removed, because records rest on it: %(uses)s. It stays in their history."
    )


class DryZoneHasDepth(StandsError):
    code = "dry_zone_has_depth"
    field = "depth_cm"
    sentence = _("Dry ground has no water on it: give 0 cm, or choose another bed.")


class SurveyInFuture(StandsError):
    code = "survey_in_future"
    field = "surveyed_on"
    sentence = _("A survey lies in the past: at the site today is %(today)s.")


class CheckInFuture(StandsError):
    code = "check_in_future"
    field = "checked_on"
    sentence = _("A check lies in the past: at the site today is %(today)s.")


class ReadingInFuture(StandsError):
    code = "reading_in_future"
    field = "read_at"
    sentence = _("A gauge is read before its level is recorded: this time is still to come.")


class ReadAlready(StandsError):
    """Another level of the same gauge at the same moment."""

    code = "read_already"
    field = "read_at"
    sentence = _(
        "At this time the gauge stood at %(level_cm)s cm, as recorded before. Give the time of the new reading."
    )


class LevelImplausible(StandsError):
    """The gauge levels of reading and survey put a zone deeper than any entry can mean."""

    code = "level_implausible"
    sentence = _(
        "With the gauge at %(level_cm)s cm the zone “%(name)s” would be %(depth_cm)s cm deep. Check this level, and "
        "the depth and gauge level of the zone's survey."
    )

    def __init__(self, *, field: str, **values: object) -> None:
        super().__init__(**values)
        self.field = field
