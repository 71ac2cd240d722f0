"""Which days to come ask for a decision, and which stands need a survey before theirs."""

import datetime
from collections.abc import Iterator, Sequence

from django.db.models import prefetch_related_objects
from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.models import Group, Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands.models import Stand
from reedcrew.stands.queries import unsurveyed_stands, window_of
from reedcrew.trade.attention import Matter
from reedcrew.web.sentences import said_together
from reedcrew.workdays.models import DayMark, WorkDay


def days_to_come(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """For those who post days. Two queries."""
    groups = groups_of(members, Deed.POST_DAY)
    if not groups:
        return
    of_groups = WorkDay.objects.upcoming(now).filter(stand__site__group__in=groups).with_stand()
    for day in of_groups.on_protected_stands():
        yield Need(
            matter=Matter.PROTECTED_STAND,
            group=day.group,
            about=day.title,
            words=_("%(stand)s is not confirmed as the introduced subspecies: do not cut it.")
            % {"stand": day.stand.name},
            step=_("Cancel the day, or have the stand checked"),
            url=reverse("workdays:cancel_day", args=[day.group.slug, day.pk]),
            zone=day.zone_info,
        )
    marks = DayMark.objects.open().of_days_to_come(now).with_day().filter(day__stand__site__group__in=groups)
    for mark in marks.order_by("day__starts_at", "pk"):
        yield Need(
            matter=Matter.DAY_MOVED,
            group=mark.day.group,
            about=mark.day.title,
            words=said_together(mark.why),
            step=_("Look at it, plan the day again"),
            url=mark.day.get_absolute_url(),
            by=mark.day.date,
            zone=mark.day.zone_info,
        )


def surveys(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """Stands without a survey of this year."""
    for stand, by in surveys_due(groups_of(members, Deed.KEEP_STANDS), now):
        yield Need(
            matter=Matter.SURVEY,
            group=stand.site.group,
            about=stand.name,
            words=_("It has no survey of every zone this year: what is left, and what the work brings, stays a guess."),
            step=_("Plan the survey"),
            url=reverse("stands:plan_survey", args=[stand.site.group.slug, stand.pk]),
            by=by,
            zone=stand.site.zone_info,
        )


def surveys_due(groups: Sequence[Group], now: datetime.datetime) -> Iterator[tuple[Stand, datetime.date]]:
    """Stands without a survey of this year, each with the date by which it needs one.

    By its next day this year, or else by its last permitted day; none after that. Three queries.
    """
    stands = unsurveyed_stands(groups, now.year) if groups else []
    if not stands:
        return
    days = WorkDay.objects.upcoming(now).filter(stand__in=stands, date__year=now.year)
    next_day: dict[int, datetime.date] = {}
    for key, date in days.values_list("stand", "date"):
        next_day.setdefault(key, date)
    prefetch_related_objects([stand.site.group for stand in stands], "policy_changes")
    for stand in stands:
        closes = window_of(stand.site, policy_of(stand.site.group)).closes
        by = next_day.get(stand.pk) or datetime.date(now.year, *closes)
        if by >= now.astimezone(stand.site.zone_info).date():
            yield stand, by
