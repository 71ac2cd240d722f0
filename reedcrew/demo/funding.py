"""The demo group's two grants, the hours that count toward them, and a correction."""

import datetime
from collections.abc import Mapping

from reedcrew.demo.dates import Season
from reedcrew.demo.places import BOATHOUSE, LANDING, QUARRY
from reedcrew.grants import services
from reedcrew.grants.models import Grant, HourEntry
from reedcrew.grants.services import GrantFacts
from reedcrew.people.models import Account, Group
from reedcrew.stands.models import Stand

CORRECTED_BY = datetime.timedelta(minutes=45)
CORRECTION = "Left before the tidying up and forgot to sign out; said so by phone on the same evening."
LATELY = datetime.timedelta(days=2)


def enter_grants(
    group: Group, stands: Mapping[str, Stand], season: Season, coordinator: Account, now: datetime.datetime
) -> tuple[Grant, Grant]:
    """Enter two grants of invented funders. The first has claimed all of its hours, the second those of one day, of
    which one entry is corrected afterwards."""
    lately = now - LATELY
    first = services.record_grant(
        group=group,
        facts=GrantFacts(
            name="First cut at Quillet Bay",
            funder="Larkholm County Fund for Wet Places",
            number="WP-0117",
            starts_on=datetime.date(season.year - 2, 4, 1),
            ends_on=datetime.date(season.year - 1, 3, 31),
            stands=[stands[LANDING], stands[BOATHOUSE]],
            note="Final report was sent. Hours are matched one to one.",
        ),
        actor=coordinator,
        now=lately,
    )
    services.claim_eligible(grant=first, actor=coordinator, now=lately)
    second = services.record_grant(
        group=group,
        facts=GrantFacts(
            name="Open water for marsh birds",
            funder="Ternwater Shore Grants",
            number="TS-24-08",
            starts_on=datetime.date(season.year - 1, 4, 1),
            ends_on=datetime.date(season.year, 12, 31),
            stands=[stands[LANDING], stands[QUARRY]],
            note="Report due in January. Evidence: sign-in times and stems for each work day.",
        ),
        actor=coordinator,
        now=lately,
    )
    eligible = HourEntry.objects.of_group(group).in_period(second.starts_on, second.ends_on).of_stand(stands[LANDING])
    first_day = [each for each in eligible if each.date == eligible[0].date]
    for entry in first_day:
        services.claim_entry(grant=second, entry=entry, actor=coordinator, now=lately)
    longest = max(first_day, key=lambda entry: (entry.minutes, -entry.pk))
    services.correct_entry(
        entry=longest,
        started_at=longest.started_at,
        ended_at=longest.ended_at - CORRECTED_BY,
        reason=CORRECTION,
        actor=coordinator,
        now=now - LATELY / 2,
    )
    return first, second
