"""A second, small group beside the demo group, so that it shows that groups do not see each other."""

import datetime
from decimal import Decimal

from reedcrew.demo.checks import TWO_SIGNS
from reedcrew.demo.crowd import mail_of
from reedcrew.demo.dates import DAY, Season, at_site
from reedcrew.demo.places import TIME_ZONE
from reedcrew.demo.shore import outline_of
from reedcrew.people import services as people
from reedcrew.people.models import Group, Member
from reedcrew.people.roles import Role
from reedcrew.people.services import ProfileAnswers
from reedcrew.stands import services as stands
from reedcrew.stands.models import Zone
from reedcrew.stock import services as stock
from reedcrew.trade.identification import Authority, Identification
from reedcrew.trade.items import Item
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp
from reedcrew.workdays.services import DayFacts

NAME = "Larkholm Pond Circle"
FOUNDER = "Isolde Farrowmead"
IN_BOTH_GROUPS = "Alistair Pennywell"  # one account, a member here and there
OTHERS = (
    ("Hamish Dunnocksby", Role.CREW_LEAD),
    ("Petra Sedgelow", Role.VOLUNTEER),
    ("Lowell Marshbeck", Role.VOLUNTEER),
    (IN_BOTH_GROUPS, Role.VOLUNTEER),
)
FOUNDED = 90 * DAY  # before the demo is loaded
STOCK = ((Item.SPADE, "", 3), (Item.GLOVES, "8", 4), (Item.LIFE_JACKET, "adult", 4), (Item.CHEST_WADERS, "42", 2))


def found_neighbours(season: Season, now: datetime.datetime) -> Group:
    """Found the second group with its people, one pond, a little gear and one posted day."""
    founded = now - FOUNDED
    account = people.account_for(email=mail_of(FOUNDER), now=founded)
    founder = people.found_group(
        name=NAME,
        contact_email="pond@reedcrew.example",
        about="Six neighbours and one pond. Invented for the demo.",
        founder_name=FOUNDER,
        actor=account,
        now=founded,
    )
    group = founder.group
    members = [founder]
    for name, role in OTHERS:
        members.append(
            people.add_member(
                group=group, email=mail_of(name), name=name, role=role, adult=True, actor=account, now=founded
            )
        )
    for member in members:
        answers = ProfileAnswers(name=member.name, adult=True, languages=frozenset({"en"}))
        people.save_profile(member=member, answers=answers, actor=account, now=founded)
    for item, size, number in STOCK:
        stock.add_line(group=group, item=item, size=size, number=number, actor=account, now=founded)
    _post_day(group, members, season, now)
    return group


# --- Private ---------------------------------------------------------------------------------------------------------


def _post_day(group: Group, members: list[Member], season: Season, now: datetime.datetime) -> None:
    founder, founded = members[0].account, now - FOUNDED
    if founder is None:
        raise ValueError("the founder signs in")
    site = stands.record_site(
        group=group,
        name="Larkholm Pond",
        latitude=Decimal("44.497300"),
        longitude=Decimal("-76.251800"),
        time_zone=TIME_ZONE,
        meeting_place="Bench at the pond",
        emergency_entrance="Farm gate on the pond lane",
        hazards="Deep mud in the middle of the pond: nobody goes there.",
        actor=founder,
        now=founded,
    )
    stand = stands.record_stand(site=site, name="Pond rim", first_cut_year=season.year, actor=founder, now=founded)
    check = stands.record_check(
        stand=stand,
        observation=TWO_SIGNS,
        checked_on=(founded - DAY).date(),
        actor=founder,
        now=founded,
    )
    stands.decide_identification(
        stand=stand,
        result=Identification.INTRODUCED,
        authority=Authority.FINDINGS,
        checks=[check],
        reason="Sheaths, stem colour and the missing spots agree.",
        known=check.pk,
        actor=founder,
        now=founded,
    )
    rim = ((4, 6), (16, 9), (15, 15), (3, 12))
    stands.record_zone(
        stand=stand,
        name="Rim",
        depth_cm=0,
        surveyed_on=(founded - DAY).date(),
        bed=Zone.Bed.DRY,
        stems=800,
        outline=outline_of(site, rim),
        actor=founder,
        now=founded,
    )
    facts = DayFacts(
        title="Pond evening",
        starts_at=at_site(season.next_day, 16),
        ends_at=at_site(season.next_day, 19),
        zones=list(stand.zones.all()),
        water_places=0,
        land_places=6,
        note="Spades only. Nobody enters the water.",
    )
    day = workdays.post_day(stand=stand, facts=facts, actor=founder, now=now - 3 * DAY)
    for member in members[:3]:
        workdays.sign_up(
            day=day, member=member, place=SignUp.Place.LAND, actor=member.account or founder, now=now - DAY
        )
