"""Reads of work days that join several models for one page."""

import datetime
from dataclasses import dataclass

from django.db.models import QuerySet

from reedcrew.people.models import Account, Group, Member, MemberQuerySet
from reedcrew.people.policy import policy_of
from reedcrew.people.water import Question, missing_for_water
from reedcrew.stands.queries import window_of
from reedcrew.trade.reasons import Reason
from reedcrew.trade.season import SeasonState, SeasonVerdict, verdict
from reedcrew.workdays.models import SignUp, WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """How full one kind of place is."""

    place: str
    label: str
    places: int
    taken: int
    waiting: int

    @property
    def free(self) -> int:
        """Places that the next person gets: none while somebody waits."""
        return 0 if self.waiting else max(self.places - self.taken, 0)


def places_of(day: WorkDay) -> tuple[Places, ...]:
    """Both kinds of place of a day, in one query; a kind without places is left out unless somebody stands in it."""
    counts: dict[tuple[str, str], int] = {}
    for place, state in day.sign_ups.active().values_list("place", "state"):
        counts[place, state] = counts.get((place, state), 0) + 1
    kinds = (
        Places(
            place=place.value,
            label=str(place.label),
            places=day.places(place),
            taken=counts.get((place, SignUp.State.CONFIRMED), 0),
            waiting=counts.get((place, SignUp.State.WAITING), 0),
        )
        for place in SignUp.Place
    )
    return tuple(kind for kind in kinds if kind.places or kind.taken or kind.waiting)


def season_of(day: WorkDay) -> SeasonVerdict:
    """What the permitted weeks of the site say to the day's date."""
    return verdict(window_of(day.stand.site, policy_of(day.group)), day.date)


def season_warnings(day: WorkDay) -> tuple[Reason, ...]:
    """What everyone must read about the date: cautions, or that the day lies outside the permitted weeks."""
    season = season_of(day)
    return () if season.state is SeasonState.OPEN else season.reasons


def roster(day: WorkDay) -> QuerySet[SignUp]:
    """Confirmed and waiting people in the order of arrival, with what their rows show."""
    return day.sign_ups.active().for_roster()


def day_of_group(group: Group, pk: int) -> QuerySet[WorkDay]:
    """The one day of this group with this key, or nothing: absent and not-yours look alike."""
    return WorkDay.objects.of_group(group).with_stand().filter(pk=pk)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSignUp:
    """A sign-up of the reader or a child in their care, and what is missing before it can lead into water."""

    sign_up: SignUp
    missing: tuple[Question, ...]


def own_lines(day: WorkDay, account: Account) -> list[OwnSignUp]:
    """The reader's sign-ups on a day, as the public page tells them."""
    return [
        OwnSignUp(
            sign_up=sign_up,
            missing=missing_for_water(sign_up.member.profile, day.date) if sign_up.place == SignUp.Place.WATER else (),
        )
        for sign_up in own_sign_ups(day, account)
    ]


def own_sign_ups(day: WorkDay, account: Account) -> QuerySet[SignUp]:
    """The sign-ups on a day of an account's own member and of the children in its care."""
    return roster(day).filter(member__in=_in_care(day.group, account))


def sign_up_choices(day: WorkDay, account: Account) -> list[Member]:
    """Whom an account may still sign up for a day: itself first, then the children in its care."""
    taken = own_sign_ups(day, account).values("member")
    members = _in_care(day.group, account).with_profile().exclude(pk__in=taken)
    return sorted(members, key=lambda member: (member.account_id is None, member.name, member.pk))


def next_days_of(account: Account, now: datetime.datetime) -> QuerySet[SignUp]:
    """What an account is signed up for from now on, in every group, children included; the next first."""
    return (
        SignUp.objects.active()
        .coming(now)
        .filter(member__in=Member.objects.current().in_care_of_account(account))
        .select_related("member", "day", "day__stand", "day__stand__site", "day__stand__site__group")
        .order_by("day__starts_at", "number", "pk")
    )


def _in_care(group: Group, account: Account) -> MemberQuerySet:
    return Member.objects.current().filter(group=group).in_care_of_account(account)
