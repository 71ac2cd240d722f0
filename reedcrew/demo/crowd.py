"""Enters the people of the demo group: accounts, profiles, standing, emergency contacts, wishes."""

import datetime
import unicodedata
from collections.abc import Mapping
from decimal import Decimal

from reedcrew.demo import people
from reedcrew.demo.dates import Season, at_site
from reedcrew.demo.people import Person
from reedcrew.people import services
from reedcrew.people.models import Account, Group, Member, Wish
from reedcrew.people.services import Measures, ProfileAnswers

MAIL_DOMAIN = "example.org"
BORN = (4, 5)  # month and day of everyone under 18: before any work day of a year, and in every year
JOINED = (5, 2)  # month and day on which people joined before a season
JOINED_LATELY = datetime.timedelta(days=30)
CONTACTS = ("Sister", "Neighbour", "Partner", "Brother", "Friend")
NUMBERS = 100  # 555-0100 to 555-0199 are kept for fiction


def mail_of(name: str) -> str:
    """The invented address of a person."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return f"{plain.replace(' ', '.')}@{MAIL_DOMAIN}"


def phone_number(number: int) -> str:
    """A phone number of the range that is kept for fiction."""
    return f"555-01{number % NUMBERS:02d}"


def enter_people(group: Group, founder: Account, season: Season, now: datetime.datetime, *, seasons_ago: int) -> None:
    """Enter everyone who joined so many seasons before the demo's: in May, this season's lately.

    Guardians joined before or with their children.
    """
    year = season.year - seasons_ago
    moment = at_site(datetime.date(year, *JOINED), 19) if seasons_ago else now - JOINED_LATELY
    for number, person in enumerate(people.PEOPLE):
        if person.season == seasons_ago:
            member = _entered(group, founder, person, season, moment)
            _tell(member, person, season, number, founder, moment)


def members_of(group: Group) -> dict[str, Member]:
    """The present members of a group by name, with their profiles."""
    return {member.name: member for member in Member.objects.current().filter(group=group).with_profile()}


def who_signs(member: Member, founder: Account) -> Account:
    """Who acts for a person: themselves, their guardian, or an organizer for somebody without an address."""
    return member.mail_account or founder


def make_wishes(members: Mapping[str, Member], founder: Account, now: datetime.datetime) -> None:
    """Enter who asked to work with whom, and who asked to be kept apart."""
    for kind, pairs in ((Wish.Kind.TOGETHER, people.TOGETHER), (Wish.Kind.APART, people.APART)):
        for name, other in pairs:
            actor = who_signs(members[name], founder)
            services.make_wish(member=members[name], other=members[other], kind=kind, actor=actor, now=now)


# --- Private ---------------------------------------------------------------------------------------------------------


def _entered(group: Group, founder: Account, person: Person, season: Season, now: datetime.datetime) -> Member:
    if person.name == people.ORGANIZER:
        return Member.objects.get(group=group, account=founder)
    born_on = _born_on(person, season)
    if person.guardian and person.name != people.MINOR_WITH_ADDRESS:
        guardian = _guardian(group, person)
        return services.add_child(
            guardian=guardian,
            name=person.name,
            born_on=born_on,
            consent=True,
            actor=who_signs(guardian, founder),
            now=now,
        )
    if person in people.STAFF or not person.mail:
        return services.add_member(
            group=group,
            email=mail_of(person.name) if person.mail else "",
            name=person.name,
            role=person.role,
            adult=True,
            actor=founder,
            now=now,
        )
    account = services.account_for(email=mail_of(person.name), now=now)
    return services.join_group(
        group=group, account=account, name=person.name, adult=born_on is None, born_on=born_on, now=now
    )


def _tell(
    member: Member, person: Person, season: Season, number: int, founder: Account, now: datetime.datetime
) -> None:
    """Their standing, as an organizer says, and what they tell of themselves; some have told nothing yet."""
    guardian = _guardian(member.group, person) if person.guardian else None
    if person.days or person.lead or guardian:
        services.set_standing(
            member=member,
            role=person.role,
            trained_lead=person.lead,
            earlier_water_days=person.days,
            guardian=guardian,
            actor=founder,
            now=now,
        )
    member = Member.objects.with_profile().get(pk=member.pk)
    if not person.languages:
        return
    actor = who_signs(member, founder)
    services.save_profile(member=member, answers=_answers(person, season, number), actor=actor, now=now)
    services.save_private(
        member=member,
        emergency_name=f"{CONTACTS[number % len(CONTACTS)]} of {member.given_name}",
        emergency_phone=phone_number(number + NUMBERS // 2),
        health_note=person.health,
        actor=actor,
        now=now,
    )


def _answers(person: Person, season: Season, number: int) -> ProfileAnswers:
    return ProfileAnswers(
        name=person.name,
        adult=person.age is None,
        born_on=_born_on(person, season),
        languages=frozenset(person.languages.split()),
        phone=phone_number(number),
        first_aid_until=None if person.aid is None else season.next_day + datetime.timedelta(days=person.aid),
        own_gear=frozenset(person.own),
        water_ready=person.ready,
        measures=Measures(
            stature_cm=person.stature_cm,
            jacket_class=person.jacket,
            boot_eu=None if person.boot_eu is None else Decimal(person.boot_eu),
            hand_mm=person.hand_mm,
        ),
    )


def _born_on(person: Person, season: Season) -> datetime.date | None:
    return None if person.age is None else datetime.date(season.year - person.age, *BORN)


def _guardian(group: Group, person: Person) -> Member:
    return Member.objects.current().get(group=group, name=person.guardian)
