"""Past days of the demo, from posting to closing, written through the services at the moments of the past."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from reedcrew.crews.models import Assignment
from reedcrew.crews.services import make_due_plan, make_plan
from reedcrew.demo import gear_story, people, tallies
from reedcrew.demo.crowd import who_signs
from reedcrew.demo.dates import at_site
from reedcrew.demo.outings import OUTINGS, STARTS, Outing, post
from reedcrew.fieldbook import services as fieldbook
from reedcrew.fieldbook.models import Attendance, Load
from reedcrew.people.models import Account, Member
from reedcrew.people.water import missing_for_water
from reedcrew.stands.models import Stand, Zone
from reedcrew.trade.disposal import bags_for, may_have_seed
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay

POSTED_BEFORE, SIGN_UPS_FOR = datetime.timedelta(days=24), datetime.timedelta(days=21)
HOUR, MINUTE = datetime.timedelta(hours=1), datetime.timedelta(minutes=1)
CHILD_COMES, ABSENT, EARLY = 0.6, 0.07, 0.1  # how often
STEMS_IN_PILE = 1500
BAGS_LIE_ON, BAGS_WENT_TO = datetime.timedelta(days=3), "Landfill of the county, closed bags"
STRUCK = "Entered twice: the unit had told its number to both leads."

Units = Mapping[int, tuple[int, Zone]]  # number and zone of each planned unit, by member


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who is there on past days, by name, who acts for them, and the chances of the demo."""

    members: Mapping[str, Member]
    organizer: Account
    lead: Account
    rng: Random


def work(
    stand: Stand, date: datetime.date, crew: Crew, *, planned: bool, seasons_ago: int, now: datetime.datetime
) -> WorkDay:
    """Write a whole past day; returns it closed. ``planned``: its pairs were planned on the evening before.

    Its bags went on once their time in the sun was over, where that was before ``now``.
    """
    outing = OUTINGS[stand.name]
    posted = at_site(date, *STARTS) - POSTED_BEFORE
    day = post(stand, date, actor=crew.organizer, now=posted)
    sign_up_all(day, _parties(crew, outing, date), crew.organizer, start=posted, over=SIGN_UPS_FOR)
    if planned:
        make_plan(day=day, actor=crew.organizer, now=day.starts_at - 15 * HOUR)
    units = _units(day)
    stays = [*_arrive(day, crew, units), *_walk_up(day, crew)]
    if planned:
        gear_story.hand_out(day, stays, crew.lead)
    stems = _tally(day, crew, units, seasons_ago=seasons_ago)
    _load(day, crew, outing, stems)
    if planned:
        gear_story.take_back(day, crew.lead)
    _go_home(day, crew, stays)
    closed = fieldbook.close(day=day, actor=crew.lead, now=day.ends_at + HOUR)
    if planned:
        gear_story.clean_and_dry(day, crew.lead)
    _take_bags_on(day, crew, now)
    make_due_plan(day_pk=day.pk, now=day.ends_at + HOUR)  # an order that came in after the plan falls away
    return closed


def party_of(adult: Member, members: Mapping[str, Member]) -> list[Member]:
    """An adult and those in their care, the adult first: a guardian signs up before a child."""
    return [adult, *(each for each in members.values() if each.guardian_id == adult.pk)]


def place_of(member: Member, on: datetime.date) -> SignUp.Place:
    """Adults who told everything and are willing sign up for the water, everyone else for the land."""
    profile = member.profile
    return SignUp.Place.LAND if not profile.adult_on(on) or missing_for_water(profile, on) else SignUp.Place.WATER


def sign_up_all(
    day: WorkDay,
    entries: Sequence[tuple[Member, str]],
    organizer: Account,
    *,
    start: datetime.datetime,
    over: datetime.timedelta,
) -> None:
    """Sign people up one after another, evenly spread over a time."""
    for number, (member, place) in enumerate(entries, start=1):
        workdays.sign_up(
            day=day,
            member=member,
            place=place,
            actor=who_signs(member, organizer),
            now=start + over * number / len(entries),
        )


# --- Private ---------------------------------------------------------------------------------------------------------


def _parties(crew: Crew, outing: Outing, date: datetime.date) -> list[tuple[Member, str]]:
    """Both leads, then a random choice of the adults, each with or without their children."""
    leads = [crew.members[name] for name in people.LEADS]
    others = [each for each in crew.members.values() if each.guardian_id is None and each not in leads]
    return [
        (member, place_of(member, date))
        for adult in (*leads, *crew.rng.sample(others, outing.adults))
        for member in party_of(adult, crew.members)
        if member is adult or crew.rng.random() < CHILD_COMES
    ]


def _units(day: WorkDay) -> Units:
    placed = Assignment.objects.in_water().filter(plan__day=day, plan__current=True).select_related("sign_up", "zone")
    return {each.sign_up.member_id: (each.unit_number or 0, each.zone) for each in placed if each.zone is not None}


def _arrive(day: WorkDay, crew: Crew, units: Units) -> list[Attendance]:
    """Sign everyone in who comes: those with a place in the order of their sign-up, so guardians before children."""
    here: dict[int, Attendance] = {}
    leads = {crew.members[name].pk for name in people.LEADS}
    for sign_up in day.sign_ups.confirmed().for_roster():
        member = sign_up.member
        stays_away = member.pk not in leads and crew.rng.random() < ABSENT
        is_minor = not member.profile.adult_on(day.date)
        if stays_away or (is_minor and member.guardian_id not in here):
            continue
        # A child comes with the guardian; others around the start.
        if is_minor and member.guardian_id is not None:
            at = here[member.guardian_id].signed_in_at
        else:
            at = day.starts_at + crew.rng.randint(-25, 10) * MINUTE
        in_water = member.pk in units if units else sign_up.place == SignUp.Place.WATER
        here[member.pk] = fieldbook.sign_in(day=day, member=member, in_water=in_water, at=at, actor=crew.lead, now=at)
    return list(here.values())


def _walk_up(day: WorkDay, crew: Crew) -> list[Attendance]:
    """One adult comes without a place and gets one on land, where there is one."""
    taken = set(day.sign_ups.active().values_list("member", flat=True))
    adults = [each for each in crew.members.values() if each.guardian_id is None and each.pk not in taken]
    someone = crew.rng.choice(adults)
    on_land = day.sign_ups.active().filter(place=SignUp.Place.LAND).count()
    if on_land >= day.land_places:
        return []
    at = day.starts_at + 20 * MINUTE
    return [
        fieldbook.walk_up(day=day, member=someone, place=SignUp.Place.LAND, at=at, actor=crew.lead, now=at),
    ]


def _tally(day: WorkDay, crew: Crew, units: Units, *, seasons_ago: int) -> int:
    """Stems of each unit, or of each zone where no units were planned; the first is entered twice and once struck out.

    Returns the stems that stand.
    """
    cuts = tallies.cuts_of(day, units, crew.rng, seasons_ago=seasons_ago)
    entered = [tallies.enter(day, cut, crew.rng, lead=crew.lead) for cut in cuts]
    twice = fieldbook.tally_counted(
        day=day,
        zone=cuts[0].zone,
        stems=entered[0],
        unit_number=cuts[0].unit_number,
        actor=crew.organizer,
        now=day.ends_at,
    )
    fieldbook.strike(entry=twice, reason=STRUCK, actor=crew.lead, now=day.ends_at + 5 * MINUTE)
    return sum(entered)


def _load(day: WorkDay, crew: Crew, outing: Outing, stems: int) -> None:
    """Bags once heads may carry seed, piles before."""
    seed = may_have_seed(day.date)
    fieldbook.record_load(
        day=day,
        kind=Load.Kind.BAGS if seed else Load.Kind.PILE,
        count=bags_for(stems) if seed else 1 + stems // STEMS_IN_PILE,
        seed_heads=seed,
        place=outing.pile_place,
        actor=crew.lead,
        now=day.ends_at,
    )


def _take_bags_on(day: WorkDay, crew: Crew, now: datetime.datetime) -> None:
    """Bags are taken on by the organizer a few days after their time in the sun."""
    for load in Load.objects.in_sun().filter(day=day):
        taken_on = at_site(load.sun_until + BAGS_LIE_ON, 9) if load.sun_until else now
        if taken_on < now:
            fieldbook.move_bags_on(load=load, to=BAGS_WENT_TO, actor=crew.organizer, now=taken_on)


def _go_home(day: WorkDay, crew: Crew, stays: Sequence[Attendance]) -> None:
    """Sign everyone out, children before their guardians; one person had gone and come back in the middle."""
    guardians = {stay.member.guardian_id for stay in stays}
    wanderer = next(stay for stay in stays if stay.member_id not in guardians and stay.member.guardian_id is None)
    gone = day.starts_at + 2 * HOUR
    fieldbook.sign_out(attendance=wanderer, at=gone, actor=crew.lead, now=gone)
    back = fieldbook.sign_in(
        day=day,
        member=wanderer.member,
        in_water=wanderer.in_water,
        at=gone + 25 * MINUTE,
        actor=crew.lead,
        now=gone + 25 * MINUTE,
    )
    leaves: dict[int, datetime.datetime] = {}
    for stay in (*stays, back):
        early = crew.rng.random() < EARLY
        leaves[stay.member_id] = day.ends_at + crew.rng.randint(-20, 15) * MINUTE - early * HOUR
    for stay in sorted((*stays, back), key=lambda stay: (stay.member.guardian_id is None, stay.member_id)):
        if stay.pk != wanderer.pk:
            at = leaves[stay.member.guardian_id or stay.member_id]
            fieldbook.sign_out(attendance=stay, at=at, actor=crew.lead, now=at)
