"""Why something about sites, stands and zones is refused."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.trade.reasons import Reason
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.sentences import said, said_together


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


class NothingObserved(StandsError):
    code = "nothing_observed"
    sentence = _("Nothing was looked at yet. Answer for at least one character, or say which test or person was asked.")


class ChecksArrived(StandsError):
    """A check was recorded since the organizer opened the page: no decision covers what nobody has read."""

    code = "checks_arrived"
    field = "checks"
    sentence = _("A check was recorded since you opened this page. Read it, then decide.")


class DecisionAgainstFindings(StandsError):
    """Why is in ``reasons``, with what would be right."""

    code = "decision_against_findings"
    field = "result"
    sentence = _("The stand can't be confirmed as introduced. %(why)s")

    def __init__(self, *, reasons: Sequence[Reason]) -> None:
        self.reasons = tuple(reasons)
        super().__init__(codes=[each.code for each in reasons])

    def __str__(self) -> str:
        why = said_together(self.reasons)
        return str(self.sentence) % {"why": why}


class DecisionWithoutCheck(StandsError):
    code = "decision_without_check"
    field = "checks"
    sentence = _("Choose at least one check that found the introduced reed: the decision rests on it.")


class DecisionWithoutReason(StandsError):
    code = "decision_without_reason"
    field = "reason"
    sentence = _("Say in a sentence why, for whoever asks in some years.")


class AuthorityNameless(StandsError):
    code = "authority_nameless"
    field = "authority_name"
    sentence = _("Name the test and its laboratory, or the qualified person.")


class CheckOfAnotherStand(StandsError):
    code = "check_of_another_stand"
    field = "checks"
    sentence = _("One of these checks is of another stand. Choose among the checks of this one.")


class TooManyPhotos(StandsError):
    code = "too_many_photos"
    field = "photos"
    sentence = _("A check holds at most %(limit)s photos, and this one has %(there)s. Choose the most telling ones.")


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


class NoGaugeThen(StandsError):
    """A level is given for a day on which the site has no gauge whose zero is known."""

    code = "no_gauge_then"
    sentence = _(
        "On %(day)s this site had no gauge whose zero is recorded, so a level says nothing. Record the gauge with its "
        "datum (what its zero is) and the day since which it is read, or leave the level out."
    )

    def __init__(self, *, field: str, **values: object) -> None:
        super().__init__(**values)
        self.field = field


class GaugeBeginsInFuture(StandsError):
    code = "gauge_begins_in_future"
    field = "since"
    sentence = _("A gauge is recorded once it stands: at the site today is %(today)s.")


class GaugeBeginsTooEarly(StandsError):
    """Readings or surveys at the former gauge lie on or after the day on which the new one begins."""

    code = "gauge_begins_too_early"
    field = "since"
    sentence = _("Until then “%(name)s” was read or used by a survey. Give %(first)s or a later day.")


class GaugeBeginsTooLate(StandsError):
    code = "gauge_begins_too_late"
    field = "since"
    sentence = _("This gauge was read on %(read_on)s, for a level or a survey. Give that day or an earlier one.")


class LevelRowUnfit(StandsError):
    code = "level_row_unfit"
    field = "rows"
    sentence = _("%(problem)s In all, %(count)s rows cannot be kept; nothing was saved.")


class NoticeDayUnfit(StandsError):
    """29 February in a year that has none."""

    code = "notice_day_unfit"
    sentence = _("There is no such day in the year of the notice, %(year)s. Give a day that this year has.")

    def __init__(self, *, field: str, **values: object) -> None:
        super().__init__(**values)
        self.field = field


class NoticeIssuedInFuture(StandsError):
    code = "notice_issued_in_future"
    field = "issued_on"
    sentence = _("A notice is recorded after it was issued: at the site today is %(today)s.")


class NoticeEndedAlready(StandsError):
    code = "notice_ended_already"
    field = "until"
    sentence = _("This notice has ended already, on %(until)s. Take that back first, then end it anew.")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuadratFault:
    """What is wrong with one value of one quadrat: its place in the list, its field, what would be right."""

    index: int
    field: str
    where: str
    sentence: str | Promise


class NoQuadrats(StandsError):
    code = "no_quadrats"
    sentence = _("A survey has at least one quadrat. A quadrat without stems counts too: write 0.")


class TooManyQuadrats(StandsError):
    code = "too_many_quadrats"
    sentence = _("These are %(count)s quadrats; one survey takes at most %(most)s. Record the rest as another survey.")


class QuadratsRefused(StandsError):
    """Some quadrats cannot be as they were entered. ``faults`` has one entry for each faulty value."""

    code = "quadrats_refused"
    sentence = _("%(faults)s")

    def __init__(self, faults: Sequence[QuadratFault]) -> None:
        self.faults = tuple(faults)
        super().__init__(faults=" ".join(f"{fault.where}: {fault.sentence}" for fault in self.faults))


class QuadratsCoverMore(StandsError):
    code = "quadrats_cover_more"
    field = "quadrat_m2"
    sentence = _(
        "In the zone “%(name)s” %(count)s quadrats of %(quadrat_m2)s m² cover more than its %(area_m2)s m². Check the "
        "area of a quadrat and the outline of the zone."
    )


class SurveyStruckAlready(StandsError):
    code = "survey_struck_already"
    sentence = _("This survey was struck out already.")


class DrawnOutside(StandsError):
    """A zone would lie wholly outside its stand. ``reason`` is the rule's own."""

    code = "drawn_outside"
    field = "outline"

    def __init__(self, reason: Reason) -> None:
        self.reason = reason
        super().__init__()

    def __str__(self) -> str:
        return said(self.reason)


class FeatureRefused(StandsError):
    """One feature of a collection cannot be taken over, so that none is."""

    code = "feature_refused"
    field = "text"
    sentence = _("Feature %(number)s (%(name)s): %(cause)s")
