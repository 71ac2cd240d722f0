"""A group with three stands: the introduced reed surveyed and cut, the native one, and one that nobody decided."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.fieldbook.models import Load, Tally
from reedcrew.grants.models import HourEntry
from reedcrew.people.models import Group
from reedcrew.stands.models import Quadrat, Stand, Survey
from reedcrew.trade.identification import Identification
from reedcrew.workdays.models import WorkDay
from tests import factories

OUTLINE = {
    "type": "Polygon",
    "coordinates": [
        [[-76.5003, 44.25], [-76.4999, 44.25], [-76.4999, 44.2505], [-76.5003, 44.2505], [-76.5003, 44.25]]
    ],
}
SECRETS = ("Priya Waterhouse", "Hidden Cove", "Behind the Barn", "counted@example.org", "Note with a name: Priya")


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenGroup:
    group: Group
    stand: Stand
    native: Stand
    unchecked: Stand
    survey: Survey
    day: WorkDay


def make_open_group() -> OpenGroup:
    person, place, meeting, mail, note = SECRETS
    group = factories.make_group(name="Shore Friends", contact_email=mail)
    site = factories.make_site(group, name=place, meeting_place=meeting, latitude=Decimal("44.251"))
    stand = factories.make_stand(group, site=site, name="=Long bed", outline=OUTLINE, area_m2=Decimal("1770.0"))
    native = factories.make_stand(group, site=site, identification=Identification.NATIVE.value)
    unchecked = factories.make_stand(group, site=site, identification=Identification.UNCHECKED.value)
    pool = factories.make_zone(stand, name="Pool", area_m2=Decimal(100))
    account = factories.make_account(mail)
    survey = factories.make_survey(stand, {pool: [12, 15, 18]}, depths={pool: [40]}, recorded_by=account)
    Survey.objects.filter(pk=survey.pk).update(counted_by=person, note=note)
    first = survey.quadrats.order_by("number").first()
    Quadrat.objects.filter(pk=first.pk).update(
        height_cm=310, latitude=Decimal("44.250111"), longitude=Decimal("-76.500111"), note=note
    )
    struck = factories.make_survey(stand, {pool: [999]}, surveyed_on=datetime.date(2026, 7, 11), recorded_by=account)
    Survey.objects.filter(pk=struck.pk).update(struck_by=account, struck_at=factories.NOW, struck_reason="wrong bed")
    factories.make_survey(unchecked, {factories.make_zone(unchecked): [0]}, recorded_by=account)
    day = _cut(stand, pool, account)
    return OpenGroup(group=group, stand=stand, native=native, unchecked=unchecked, survey=survey, day=day)


def _cut(stand, pool, account) -> WorkDay:
    """By hand: 1,000 counted stems and 400 of bundles (350 to 460); 4 h and 2.5 h, the second corrected to 1.5 h."""
    person, _place, meeting, _mail, note = SECRETS
    day = factories.make_closed_day(stand, datetime.date(2026, 8, 1), tallies={pool: 1_000})
    Tally.objects.create(
        day=day, zone=pool, method="bundles", stems=400, stems_low=350, stems_high=460, bundles=2,
        entered_by=account, entered_at=factories.NOW,
    )  # fmt: skip
    for kind, count in ((Load.Kind.PILE, 3), (Load.Kind.PILE, 2)):
        Load.objects.create(
            day=day, kind=kind, count=count, place=meeting, entered_by=account, entered_at=factories.NOW
        )
    member = factories.make_member(stand.site.group, name=person, account=account)
    start = day.starts_at
    entry = {"group": stand.site.group, "member": member, "day": day, "stand": stand, "date": day.date}
    made = {"started_at": start, "entered_by": account, "entered_at": factories.NOW}
    HourEntry.objects.create(**entry, **made, ended_at=day.ends_at, minutes=240)
    wrong = HourEntry.objects.create(**entry, **made, ended_at=start + 150 * MINUTE, minutes=150)
    HourEntry.objects.create(**entry, **made, ended_at=start + 90 * MINUTE, minutes=90, corrects=wrong, reason=note)
    HourEntry.objects.create(
        **entry, **made, ended_at=start + 60 * MINUTE, minutes=60, kind="travel", activity="way", evidence=note
    )
    return day


MINUTE = datetime.timedelta(minutes=1)
