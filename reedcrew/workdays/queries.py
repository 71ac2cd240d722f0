"""Reads of work days that join several models for one page."""

import datetime
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from reedcrew.people.models import Account, Group, Member, MemberQuerySet
from reedcrew.people.policy import policy_of
from reedcrew.people.queries import LedDay, member_name, with_emergency_contact
from reedcrew.people.water import Question, missing_for_water
from reedcrew.stands.queries import rules_of
from reedcrew.trade.again import nearest_permitted, same_week
from reedcrew.trade.reasons import Reason
from reedcrew.trade.season import SeasonState, SeasonVerdict
from reedcrew.workdays.models import DayMark, SignUp, SignUpQuerySet, WorkDay, WorkDayQuerySet


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """How full one kind of place is."""

    place: str
    label: str
    places: int
    taken: int  # or kept for somebody who is asked
    waiting: int
    to_ask: int  # of those who wait, who is asked before anybody else gets a place

    @property
    def free(self) -> int:
        """Places that the next person gets: none while somebody waits to be asked."""
        return 0 if self.to_ask else max(self.places - self.taken, 0)


def places_of(day: WorkDay) -> tuple[Places, ...]:
    """Both kinds of place of a day, in one query; a kind without places is left out unless somebody stands in it."""
    counts: Counter[tuple[str, str]] = Counter()
    to_ask: Counter[str] = Counter()
    kept = Count("pk", filter=Q(state=SignUp.State.WAITING, offer_lapsed_at=None))
    standing = day.sign_ups.active().order_by().values("place", "state").annotate(people=Count("pk"), asked=kept)
    for each in standing:
        counts[each["place"], each["state"]] = each["people"]
        to_ask[each["place"]] += each["asked"]
    kinds = (
        Places(
            place=place.value,
            label=str(place.label),
            places=day.places(place),
            taken=counts[place, SignUp.State.CONFIRMED] + counts[place, SignUp.State.OFFERED],
            waiting=counts[place, SignUp.State.WAITING],
            to_ask=to_ask[place],
        )
        for place in SignUp.Place
    )
    return tuple(kind for kind in kinds if kind.places or kind.taken or kind.waiting)


def season_of(day: WorkDay) -> SeasonVerdict:
    """What the permitted weeks of the site say to the day's date."""
    return rules_of(day.stand.site, policy_of(day.group)).verdict(day.date)


def season_warnings(day: WorkDay) -> tuple[Reason, ...]:
    """What everyone must read about the date: cautions, or that the day lies outside the permitted weeks."""
    season = season_of(day)
    return () if season.state is SeasonState.OPEN else season.reasons


def roster(day: WorkDay) -> QuerySet[SignUp]:
    """Confirmed and waiting people in the order of arrival, with what their rows show."""
    return day.sign_ups.active().for_roster()


def day_of_group(group: Group, pk: int) -> WorkDayQuerySet:
    """The one day of this group with this key, or nothing: absent and not-yours look alike."""
    return WorkDay.objects.of_group(group).with_stand().filter(pk=pk)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSignUp:
    """A sign-up of the reader or a child in their care, and what is missing before it can lead into water.

    ``may_take``: a place is kept for them, or is free while nobody is asked for it.
    """

    sign_up: SignUp
    missing: tuple[Question, ...]
    callable: bool  # somebody can be called for them in an emergency
    answer_by: datetime.date
    may_take: bool


def own_lines(day: WorkDay, account: Account, places: Iterable[Places], now: datetime.datetime) -> list[OwnSignUp]:
    """The reader's sign-ups on a day, as the public page tells them beside its ``places``.

    What is missing is asked for by the day before, when gear is packed, or at once where that is over.
    """
    free = {kind.place: kind.free for kind in places}
    own = list(own_sign_ups(day, account))
    known = with_emergency_contact([each.member_id for each in own])
    today = now.astimezone(day.zone_info).date()
    return [
        OwnSignUp(
            sign_up=sign_up,
            callable=sign_up.member_id in known,
            answer_by=max(day.date - datetime.timedelta(days=1), today),
            may_take=sign_up.state == SignUp.State.OFFERED
            or (sign_up.state == SignUp.State.WAITING and free.get(sign_up.place, 0) > 0),
            missing=missing_for_water(sign_up.member.profile, day.date) if sign_up.place == SignUp.Place.WATER else (),
        )
        for sign_up in own
    ]


def own_sign_ups(day: WorkDay, account: Account) -> QuerySet[SignUp]:
    """The sign-ups on a day of an account's own member and of the children in its care."""
    return roster(day).filter(member__in=_in_care(day.group, account))


def sign_up_choices(day: WorkDay, account: Account) -> list[Member]:
    """Whom an account may still sign up for a day: itself first, then the children in its care."""
    taken = day.sign_ups.active().values("member")
    members = _in_care(day.group, account).select_related("profile", "guardian").exclude(pk__in=taken)
    for member in members:
        carer = member if member.account_id == account.pk else member.guardian
        if carer is not None:
            carer.account = account  # known, so that no query asks who is written to
    return sorted(members, key=lambda member: (member.account_id is None, member.name, member.pk))


def next_days_of(account: Account, now: datetime.datetime) -> SignUpQuerySet:
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


def led_day(day: WorkDay, now: datetime.datetime) -> LedDay:
    """The day as people decides who may open the emergency contacts of its confirmed people."""
    return LedDay(
        date=day.date,
        today=now.astimezone(day.zone_info).date(),
        people=frozenset(day.sign_ups.confirmed().values_list("member", flat=True)),
    )


def marks_of(day: WorkDay) -> tuple[DayMark, ...]:
    """The marks of a day: those that nobody has looked at, then those that somebody has, the latest first."""
    named = day.marks.annotate(seer=member_name(group="day__stand__site__group", account="seen_by"))
    return tuple(sorted(named, key=lambda mark: mark.seen_at is not None))


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """When a day could be held again. ``closed`` says why not, ``instead`` the nearest permitted date then."""

    date: datetime.date
    week: int
    closed: tuple[Reason, ...]
    instead: datetime.date | None


def proposal_for(day: WorkDay, now: datetime.datetime) -> Proposal:
    """The same weekday of the same week of the calendar, next time that it comes, by the site's date."""
    today = now.astimezone(day.zone_info).date()
    date = same_week(day.date, today)
    rules = rules_of(day.stand.site, policy_of(day.group))
    said = rules.verdict(date)
    is_closed = said.state is SeasonState.CLOSED
    return Proposal(
        date=date,
        week=day.date.isocalendar().week,
        closed=said.reasons if is_closed else (),
        instead=nearest_permitted(date, today, rules) if is_closed else None,
    )
