"""Loading the demo season: two invented groups with two past seasons, this one so far, and the next work day."""

import datetime
from dataclasses import dataclass
from random import Random

from django.db import transaction
from django.db.models import F

from reedcrew.demo import people
from reedcrew.demo.crowd import enter_people, mail_of, make_wishes, members_of
from reedcrew.demo.dates import ZONE, Season, at_site, season_for
from reedcrew.demo.funding import enter_grants
from reedcrew.demo.gear import enter_stock
from reedcrew.demo.gear_story import borrow_waders
from reedcrew.demo.ground import draw_ground
from reedcrew.demo.history import Crew, work
from reedcrew.demo.letters import fill_mailbox
from reedcrew.demo.neighbours import found_neighbours
from reedcrew.demo.places import GROUP_NAME
from reedcrew.demo.shore import enter_sites, enter_stands, survey_zones
from reedcrew.demo.surveys import survey_days
from reedcrew.demo.upcoming import post_later, post_next
from reedcrew.demo.water import enter_gauges, enter_notices, read_after_storm, read_gauges
from reedcrew.invites import drafts
from reedcrew.invites.models import Mailing, OutgoingMail
from reedcrew.people.models import Account, Group
from reedcrew.people.services import account_for, found_group
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay

ABOUT = (
    "We cut the introduced common reed along Quillet Bay by hand, every second Saturday from mid-July to mid-October. "
    "No experience needed: everyone works beside somebody who has some. This group is invented for the demo."
)
FOUNDED = (4, 12)  # month and day, two years before the demo's season or in the year of the first survey
PLANNED_DAYS = 3  # of the latest closed days the pairs are kept, because plans avoid repeating them


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """What was loaded: the demo group and its season, and the second group."""

    group: Group
    neighbours: Group
    season: Season


@transaction.atomic
def load_season(*, now: datetime.datetime) -> Loaded | None:
    """Load the whole demo in one transaction, all or nothing. None when the database has a group already."""
    if Group.objects.exists():
        return None
    season = season_for(now.astimezone(ZONE).date())
    founded = at_site(datetime.date(min(season.year - 2, survey_days(now)[0].year), *FOUNDED), 10)
    organizer = account_for(email=mail_of(people.ORGANIZER), now=founded)
    group = found_group(
        name=GROUP_NAME,
        contact_email=people.CONTACT,
        about=ABOUT,
        founder_name=people.ORGANIZER,
        actor=organizer,
        now=founded,
    ).group
    sites = enter_sites(group, organizer, founded)
    gauges = enter_gauges(sites, organizer, founded)
    enter_notices(sites, organizer, founded)
    stands = enter_stands(sites, season, organizer, founded)
    draw_ground(sites, stands, organizer, founded)
    survey_zones(stands, organizer, now)
    enter_stock(group, organizer, founded)
    read_gauges(gauges, season, organizer, now, Random("gauges"))  # noqa: S311  # the demo, not a secret
    for years_ago in (2, 1):
        enter_people(group, organizer, season, now, seasons_ago=years_ago)
        _work_days(group, stands, season, organizer, year=season.year - years_ago, now=now)
    _work_days(group, stands, season, organizer, year=season.year, now=now)
    enter_people(group, organizer, season, now, seasons_ago=0)
    mark_sent(group)
    borrow_waders(group, season, organizer, now - datetime.timedelta(days=2))
    members = members_of(group)
    make_wishes(members, organizer, now - datetime.timedelta(days=25))
    next_day = post_next(stands, members, season, organizer, now)
    fill_mailbox(group, next_day, organizer, now)
    post_later(stands, members, season, organizer, now, Random("later"))  # noqa: S311  # as above
    read_after_storm(gauges, organizer, now)
    coordinator = account_for(email=mail_of(people.COORDINATOR), now=now)
    enter_grants(group, stands, season, coordinator, now)
    return Loaded(group=group, neighbours=found_neighbours(season, now), season=season)


def mark_sent(group: Group) -> int:
    """Mark the mails of closed days as sent when they were written: nobody is invited to the past, nor thanked for it.

    Returns how many mails.
    """
    Mailing.objects.filter(day__stand__site__group=group, done_at=None).update(done_at=F("due_at"))
    past = OutgoingMail.objects.of_group(group).filter(sign_up__day__status=WorkDay.Status.CLOSED)
    for mail in past.filter(draft__isnull=False).iterator():
        drafts.write(mail)
    return past.update(state=OutgoingMail.State.SENT, tries=1, tried_at=F("created_at"), sent_at=F("created_at"))


# --- Private ---------------------------------------------------------------------------------------------------------


def _work_days(
    group: Group, stands: dict[str, Stand], season: Season, organizer: Account, *, year: int, now: datetime.datetime
) -> None:
    """Write the closed days of one season by those who were members then."""
    planned = {day.date for day in season.closed[-PLANNED_DAYS:]}
    seasons_ago = season.year - year
    for number, past in enumerate(season.closed):
        if past.date.year != year:
            continue
        crew = Crew(
            members=members_of(group),
            organizer=organizer,
            lead=account_for(email=mail_of(people.LEADS[0]), now=at_site(past.date, 8)),
            rng=Random(f"{past.stand} {number}"),  # noqa: S311  # as above
        )
        work(stands[past.stand], past.date, crew, planned=past.date in planned, seasons_ago=seasons_ago, now=now)
