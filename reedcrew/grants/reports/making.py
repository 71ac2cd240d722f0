"""Making a report from the rows."""

import datetime

from reedcrew.grants.models import Grant
from reedcrew.grants.reports.codes import codes_of_accounts
from reedcrew.grants.reports.days import correction_lines, day_lines
from reedcrew.grants.reports.ground import load_lines, stand_lines, stems_of, tally_rows
from reedcrew.grants.reports.photos import photos_of
from reedcrew.grants.reports.pricing import Pricing
from reedcrew.grants.reports.records import Report
from reedcrew.grants.reports.safety import safety_counts
from reedcrew.grants.reports.scope import Scope
from reedcrew.grants.reports.sums import ledger_sums
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Stand
from reedcrew.stands.queries import stands_map


def make_report(grant: Grant, *, first: datetime.date, last: datetime.date, at: datetime.datetime) -> Report:
    """The report of a grant, which comes with its group, for a period as its rows stand now.

    The number of queries grows neither with days nor with lines, people or stands.
    """
    scope = Scope(grant=grant, first=first, last=last)
    stands = {stand.pk: stand for stand in Stand.objects.of_group(grant.group).select_related("site", "site__group")}
    sums = ledger_sums(scope, stands, Pricing(grant))
    tallies = tally_rows(scope)
    codes = codes_of_accounts(grant.group_id)
    corrections = correction_lines(scope, codes)
    days = day_lines(scope, stands, sums, tallies, codes, corrections)
    keys = [day.day_id for day in days]
    of_stands = stand_lines(scope, stands, tallies, days)
    eligible = {stand.pk: stand for stand in grant.stands.select_related("site", "site__group")}
    shown = {**eligible, **{line.stand_id: stands[line.stand_id] for line in of_stands}}
    return Report(
        scope=scope,
        group=grant.group.name,
        made_at=at,
        hours=sums.hours,
        people=sums.people,
        by_kind=sums.by_kind,
        by_role=sums.by_role,
        stems=stems_of(tallies, keys),
        stands=of_stands,
        loads=load_lines(scope, codes),
        safety=safety_counts(keys),
        photos=photos_of(scope, stands=shown, days=keys),
        days=days,
        corrections=corrections,
        map=stands_map(sorted(shown.values(), key=_by_name), policy_of(grant.group), at),
    )


def _by_name(stand: Stand) -> tuple[str, str, int]:
    return stand.site.name, stand.name, stand.pk
