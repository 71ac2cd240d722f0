"""Everything that changes work days and sign-ups. One function a use case, one transaction, the day's row locked."""

import datetime
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account, Member
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.people.services import join_group
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.stands.queries import depths_today, rules_of
from reedcrew.trade.season import SeasonState
from reedcrew.web.times import day_of_year_text, day_text
from reedcrew.workdays import errors, signals
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.waiting_list import offer_places

DAYS_A_DAY = 120  # posted by one group: three forms of a whole season, fewer than a program makes (convention)
LONGEST_DAY = datetime.timedelta(hours=16)  # (cp): daylight bounds the work; it also catches a wrong end date


@dataclass(frozen=True, slots=True, kw_only=True)
class DayFacts:
    """What an organizer says of a day. Times are aware; zones are of the day's stand."""

    title: str
    starts_at: datetime.datetime
    ends_at: datetime.datetime
    zones: Sequence[Zone]
    water_places: int
    land_places: int
    note: str = ""
    what_to_bring: str = ""
    window_reason: str = ""
    window_permit: str = ""
    forecast_temp_c: Decimal | None = None
    forecast_rh_percent: int | None = None
    forecast_wind_km_h: Decimal | None = None
    forecast_water_temp_c: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedUp:
    """The answer to a sign-up. ``repeated`` is true when the same sign-up stood already, as after a double click."""

    sign_up: SignUp
    repeated: bool


@transaction.atomic
def post_day(
    *, stand: Stand, facts: DayFacts, actor: Account, now: datetime.datetime, submission: uuid.UUID | None = None
) -> WorkDay:
    """Post a work day on a stand. A ``submission`` that arrives again answers with the day that it made.

    Outside the permitted weeks a written reason is needed, and where an authority closes the day, to all work or to
    work in water, the permit that allows it. A day is work in water when it has places there or a zone that is not dry.

    Raises StandProtected, OutsideWindow, ClosedByAuthority, EndNotAfterStart, DayTooLong, DayInPast,
    ZonesOfAnotherStand, NoPlaces, TooManyDays, or PostedOtherwise for a form that says something else the second time.
    """
    stand = Stand.objects.select_for_update(no_key=True, of=("self",)).select_related("site__group").get(pk=stand.pk)
    submission = submission or uuid.uuid4()
    if posted := WorkDay.objects.of_group(stand.site.group).filter(submission=submission).first():
        _ask_same(posted, stand, facts)
        return posted
    if not stand.may_be_cut:
        raise errors.StandProtected(stand=stand.name, state=stand.get_identification_display())
    a_day_ago = now - datetime.timedelta(days=1)
    if WorkDay.objects.of_group(stand.site.group).filter(posted_at__gt=a_day_ago).count() >= DAYS_A_DAY:
        raise errors.TooManyDays(limit=DAYS_A_DAY)
    _judge(stand, facts, now)
    day = WorkDay(stand=stand, posted_by=actor, posted_at=now, submission=submission)
    _write(day, facts)
    day.save()
    day.zones.set(facts.zones)
    record(group=day.group, actor=actor, at=now, deed="day posted", subject=day)
    signals.day_posted.send(WorkDay, day=day, actor=actor, now=now)
    return day


@transaction.atomic
def edit_day(*, day: WorkDay, version: int, facts: DayFacts, actor: Account, now: datetime.datetime) -> WorkDay:
    """Change a posted day; a raised number of places moves the waiting list up.

    ``version`` is the one that the form was opened with. Raises StaleDay, DayNotOpen, FewerPlacesThanPeople and what
    post_day raises, except that a day under way may keep a start that has passed.
    """
    day = WorkDay.objects.held(day.pk)
    if day.version != version:
        raise errors.StaleDay
    if not day.is_open:
        raise errors.DayNotOpen(status=day.get_status_display())
    _judge(day.stand, facts, now, start_before=day.starts_at)
    for place, field, places in (
        (SignUp.Place.WATER, "water_places", facts.water_places),
        (SignUp.Place.LAND, "land_places", facts.land_places),
    ):
        people = day.sign_ups.holding().filter(place=place).count()
        if places < people:
            raise errors.FewerPlacesThanPeople(field=field, people=people, place=place.label)
    _write(day, facts)
    day.version += 1
    day.save()
    day.zones.set(facts.zones)
    record(group=day.group, actor=actor, at=now, deed="day edited", subject=day, version=day.version)
    offer_places(day, actor=actor, now=now)
    signals.day_changed.send(WorkDay, day=day, actor=actor, now=now)
    signals.roster_changed.send(WorkDay, day=day, now=now)
    return day


@transaction.atomic
def cancel_day(*, day: WorkDay, reason: str, actor: Account, now: datetime.datetime) -> WorkDay:
    """Cancel a posted day. Its sign-ups stay for the record and everyone is told.

    Raises DayNotOpen or CancelNeedsReason. A second click answers with the cancelled day.
    """
    day = WorkDay.objects.held(day.pk)
    if day.status == WorkDay.Status.CANCELLED:
        return day
    if not day.is_open:
        raise errors.DayNotOpen(status=day.get_status_display())
    if not reason.strip():
        raise errors.CancelNeedsReason
    day.status = WorkDay.Status.CANCELLED
    day.cancel_reason = reason.strip()
    day.version += 1
    day.save(update_fields=["status", "cancel_reason", "version"])
    record(group=day.group, actor=actor, at=now, deed="day cancelled", subject=day)
    signals.day_cancelled.send(WorkDay, day=day, actor=actor, now=now)
    return day


@transaction.atomic
def close_day(
    *, day: WorkDay, outcomes: Mapping[int, SignUp.Outcome], actor: Account, now: datetime.datetime
) -> WorkDay:
    """Close a day after its field work, with what became of its confirmed sign-ups, by member key.

    Whoever is not named did not come. The fieldbook asks first whether everyone is out. Raises DayNotOpen.
    """
    day = WorkDay.objects.held(day.pk)
    if not day.is_open:
        raise errors.DayNotOpen(status=day.get_status_display())
    for each in day.sign_ups.confirmed():
        each.outcome = outcomes.get(each.member_id, SignUp.Outcome.ABSENT)
        each.save(update_fields=["outcome"])
    day.status = WorkDay.Status.CLOSED
    day.version += 1
    day.save(update_fields=["status", "version"])
    record(group=day.group, actor=actor, at=now, deed="day closed", subject=day)
    signals.day_closed.send(WorkDay, day=day, actor=actor, now=now)
    return day


@transaction.atomic
def follow_site(*, site: Site, actor: Account, now: datetime.datetime) -> None:
    """After a site's facts changed: days to come keep their moment, their date is the site's, and people are told."""
    for upcoming in WorkDay.objects.upcoming(now).filter(stand__site=site):
        day = WorkDay.objects.held(upcoming.pk)
        day.date = _date_at(site, day.starts_at)
        day.save(update_fields=["date"])
        signals.day_changed.send(WorkDay, day=day, actor=actor, now=now)


def may_sign_up(*, actor: Account, member: Member) -> bool:
    """Whether the account may sign this member up or withdraw them: oneself, one's children, or as who runs the day."""
    if actor.pk in {member.account_id, member.guardian.account_id if member.guardian else None}:
        return True
    leading = Member.objects.current().of_account(actor).filter(group=member.group_id).first()
    return leading is not None and leading.may(Deed.RUN_DAY)


@transaction.atomic
def sign_up(*, day: WorkDay, member: Member, place: str, actor: Account, now: datetime.datetime) -> SignedUp:
    """Give a member a place on the day, or the next place on its waiting list.

    The waiting list is strict: while somebody waits for a kind of place who let no offer lapse, nobody who comes later
    is confirmed for it.
    Raises DayNotOpen, DayOver, NotInYourCare, SignedUpOtherwise, GuardianMissing or GuardianNotInWater.
    """
    return _sign_up(WorkDay.objects.held(day.pk), member, place, actor, now)


@transaction.atomic
def sign_up_family(
    *, day: WorkDay, chosen: Iterable[tuple[Member, str]], actor: Account, now: datetime.datetime
) -> list[SignedUp]:
    """Sign up all of these people, each for a kind of place, or none of them; guardians come before their children.

    The day was read with its stand a moment ago. Raises what ``sign_up`` raises.
    """
    day = WorkDay.objects.held_again(day)
    return [_sign_up(day, member, place, actor, now) for member, place in chosen]


@transaction.atomic
def sign_up_newcomer(*, day: WorkDay, account: Account, name: str, place: str, now: datetime.datetime) -> SignedUp:
    """Take an adult into the day's group as a volunteer and sign them up; somebody who is in it stays as they are.

    Raises what ``sign_up`` and ``join_group`` raise.
    """
    member = join_group(group=day.group, account=account, name=name, adult=True, born_on=None, now=now)
    return sign_up(day=day, member=member, place=place, actor=account, now=now)


@transaction.atomic
def withdraw(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> tuple[SignUp, ...]:
    """Withdraw a sign-up, with it those of the children who can only come with this guardian; the list moves up.

    Returns what was withdrawn: nothing when it was withdrawn already. Raises DayNotOpen, DayOver or NotInYourCare.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    day.ask_open(now)
    if not may_sign_up(actor=actor, member=sign_up.member):
        raise errors.NotInYourCare
    leaving = [
        each
        for each in day.sign_ups.active().for_roster()
        if each.pk == sign_up.pk or (each.member.guardian_id == sign_up.member_id and _is_minor(day, each.member))
    ]
    for each in leaving:
        was_confirmed = each.state == SignUp.State.CONFIRMED
        each.state, each.offer_until, each.changed_at = SignUp.State.WITHDRAWN, None, now
        each.save(update_fields=["state", "offer_until", "changed_at"])
        record(group=day.group, actor=actor, at=now, deed="withdrawn", subject=each)
        signals.sign_up_withdrawn.send(SignUp, sign_up=each, actor=actor, now=now, was_confirmed=was_confirmed)
    if leaving:
        offer_places(day, actor=actor, now=now)
        signals.roster_changed.send(WorkDay, day=day, now=now)
    return tuple(leaving)


@transaction.atomic
def mark_absent(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> SignUp:
    """Note that somebody with a place did not come: the plan of the day no longer counts on them. Again: no change.

    Their place can be given to somebody who stands there; nobody is asked by mail so late. Only on the day itself, by
    the site's date. Whoever just is not signed in yet is not absent. Raises DayNotOpen,
    DayOver, AbsentBeforeTheDay, AbsentWithoutPlace, or what the fieldbook objects for somebody who is on site.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    day.ask_open(now)
    absent = day.sign_ups.select_related("member", "day").get(pk=sign_up.pk)
    if absent.outcome == SignUp.Outcome.ABSENT:
        return absent
    if _date_at(day.stand.site, now) < day.date:
        raise errors.AbsentBeforeTheDay(date=day_text(day.date))
    if absent.state != SignUp.State.CONFIRMED:
        raise errors.AbsentWithoutPlace(name=absent.member.name)
    signals.sign_up_absent.send(SignUp, sign_up=absent, actor=actor, now=now)
    return _write_outcome(day, absent, SignUp.Outcome.ABSENT, "marked absent", actor, now)


@transaction.atomic
def mark_present(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> SignUp:
    """Take back that somebody did not come: the plan counts on them again. Raises DayNotOpen.

    Also where their place was given to somebody else meanwhile: both are there, and the plan finds work for them.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    if not day.is_open:
        raise errors.DayNotOpen(status=day.get_status_display())
    present = day.sign_ups.select_related("member", "day").get(pk=sign_up.pk)
    if present.outcome != SignUp.Outcome.ABSENT:
        return present
    return _write_outcome(day, present, SignUp.Outcome.UNKNOWN, "absence taken back", actor, now)


# --- Private ---------------------------------------------------------------------------------------------------------


def _sign_up(day: WorkDay, member: Member, place: str, actor: Account, now: datetime.datetime) -> SignedUp:
    """The row of the day is held: people in a rush wait here for each other, so that little is asked and written."""
    day.ask_open(now)
    if member.group_id != day.group.pk or not may_sign_up(actor=actor, member=member):
        raise errors.NotInYourCare
    met = day.sign_ups.met_by(member, place=place)
    if met.standing is not None:
        standing = day.sign_ups.get(pk=met.standing)
        if standing.place == place:
            return SignedUp(sign_up=standing, repeated=True)
        raise errors.SignedUpOtherwise(name=member.name, place=standing.get_place_display())
    _ask_guardian(day, member, place)
    is_free = met.taken < day.places(place) and not met.to_ask
    new = SignUp.objects.create(
        day=day,
        member=member,
        place=place,
        state=SignUp.State.CONFIRMED if is_free else SignUp.State.WAITING,
        number=met.last_number + 1,
        signed_up_by=actor,
        signed_up_at=now,
        changed_at=now,
    )
    record(group=day.group, actor=actor, at=now, deed="signed up", subject=new, state=new.state)
    if is_free:
        signals.sign_up_confirmed.send(SignUp, sign_up=new, actor=actor, now=now, promoted=False)
        signals.roster_changed.send(WorkDay, day=day, now=now)
    else:
        signals.sign_up_waits.send(SignUp, sign_up=new, actor=actor, now=now)
    return SignedUp(sign_up=new, repeated=False)


def _write_outcome(
    day: WorkDay, sign_up: SignUp, outcome: SignUp.Outcome, deed: str, actor: Account, now: datetime.datetime
) -> SignUp:
    sign_up.outcome = outcome
    sign_up.changed_at = now
    sign_up.save(update_fields=["outcome", "changed_at"])
    record(group=day.group, actor=actor, at=now, deed=deed, subject=sign_up)
    signals.roster_changed.send(WorkDay, day=day, now=now)
    return sign_up


def _judge(
    stand: Stand, facts: DayFacts, now: datetime.datetime, start_before: datetime.datetime | None = None
) -> None:
    if facts.ends_at <= facts.starts_at:
        raise errors.EndNotAfterStart
    if facts.ends_at - facts.starts_at > LONGEST_DAY:
        raise errors.DayTooLong(hours=LONGEST_DAY // datetime.timedelta(hours=1))
    if facts.starts_at <= now and facts.starts_at != start_before:
        raise errors.DayInPast
    if not facts.zones or any(zone.stand_id != stand.pk for zone in facts.zones):
        raise errors.ZonesOfAnotherStand(stand=stand.name)
    if facts.water_places + facts.land_places == 0:
        raise errors.NoPlaces
    date = _date_at(stand.site, facts.starts_at)
    rules = rules_of(stand.site, policy_of(stand.site.group))
    window, said = rules.window, rules.verdict(date)
    if said.state is not SeasonState.CLOSED and not (said.water_closed and _in_water(stand, facts, now)):
        return
    if said.authorities and not (facts.window_permit.strip() and facts.window_reason.strip()):
        field = "window_permit" if facts.window_reason.strip() else "window_reason"
        named = ", ".join(said.authorities)
        raise errors.ClosedByAuthority(field=field, date=day_text(date), authorities=named)
    if not facts.window_reason.strip():
        raise errors.OutsideWindow(
            date=day_text(date), opens=day_of_year_text(*window.opens), closes=day_of_year_text(*window.closes)
        )


def _in_water(stand: Stand, facts: DayFacts, now: datetime.datetime) -> bool:
    if facts.water_places:
        return True
    chosen = {zone.pk for zone in facts.zones}
    return any(known.depth_cm > 0 for known in depths_today(stand, now) if known.zone.pk in chosen)


def _date_at(site: Site, moment: datetime.datetime) -> datetime.date:
    return moment.astimezone(site.zone_info).date()


def _ask_same(posted: WorkDay, stand: Stand, facts: DayFacts) -> None:
    """A form that comes again after a step back in the browser must say what it said. Raises PostedOtherwise."""
    said = [field.name for field in fields(facts) if field.name != "zones"]
    if (
        posted.stand_id != stand.pk
        or any(getattr(posted, name) != getattr(facts, name) for name in said)
        or set(posted.zones.values_list("pk", flat=True)) != {zone.pk for zone in facts.zones}
    ):
        raise errors.PostedOtherwise(title=posted.title)


def _write(day: WorkDay, facts: DayFacts) -> None:
    for field in fields(facts):
        if field.name != "zones":
            setattr(day, field.name, getattr(facts, field.name))
    day.date = _date_at(day.stand.site, facts.starts_at)


def _is_minor(day: WorkDay, member: Member) -> bool:
    return not member.profile.adult_on(day.date)


def _ask_guardian(day: WorkDay, member: Member, place: str) -> None:
    if not _is_minor(day, member):
        return
    guardian = day.sign_ups.active().filter(member=member.guardian_id).first()
    if guardian is None:
        raise errors.GuardianMissing(name=member.name)
    if place == SignUp.Place.WATER and guardian.place != SignUp.Place.WATER:
        raise errors.GuardianNotInWater(name=member.name)
