"""What the office has to do: reports that are due, and hours that wait for approval."""

import datetime
from collections.abc import Iterator, Sequence

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.grants.models import ReportingDate
from reedcrew.grants.queries.days import waiting_days
from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.roles import Deed
from reedcrew.trade.attention import Matter
from reedcrew.web.times import day_text


def office(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """For those who see hours and grants. Two queries."""
    groups = groups_of(members, Deed.APPROVE_HOURS)
    if not groups:
        return
    reports = ReportingDate.objects.open().filter(grant__group__in=groups).select_related("grant__group")
    for report in reports.order_by("due_on", "pk"):
        yield Need(
            matter=Matter.REPORT,
            group=report.grant.group,
            about=report.grant.name,
            words=_("A report for the work up to %(date)s is due.") % {"date": day_text(report.covers_to)},
            step=_("See what it still needs"),
            url=f"{reverse('grants:season', args=[report.grant.group.slug])}#due",
            by=report.due_on,
        )
    waiting = waiting_days(groups).order_by().values_list("stand__site__group")
    numbers = dict(waiting.annotate(number=Count("pk", distinct=True)))
    for group in groups:
        if number := numbers.get(group.pk):
            words = ngettext(
                "The hours of %(number)d closed day wait for approval.",
                "The hours of %(number)d closed days wait for approval.",
                number,
            )
            yield Need(
                matter=Matter.HOURS,
                group=group,
                words=words % {"number": number},
                step=_("Approve them"),
                url=reverse("grants:approvals", args=[group.slug]),
            )
