"""The waiting list: a free place is offered to the next, who answers in time or lets the one after have it."""

import datetime

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.workdays import errors, signals
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.offers import answer_until


def offer_places(day: WorkDay, *, actor: Account, now: datetime.datetime) -> None:
    """Ask people of the waiting list, first come first, as many as places are free. The day's row is held.

    Whoever let an earlier offer of this day lapse is not asked again. Too close to the start nobody is asked: the
    organizers see free places and who waits, and have a phone.
    """
    until = answer_until(now, day.starts_at, day.zone_info)
    if until is None or not day.is_open:
        return
    for place in SignUp.Place:
        sign_ups = day.sign_ups.filter(place=place)
        free = day.places(place) - sign_ups.taking_places().count()
        for waiting in list(sign_ups.to_ask()[: max(free, 0)]):
            waiting.state, waiting.offer_until, waiting.changed_at = SignUp.State.OFFERED, until, now
            waiting.save(update_fields=["state", "offer_until", "changed_at"])
            record(group=day.group, actor=actor, at=now, deed="place offered", subject=waiting)
            signals.place_offered.send(SignUp, sign_up=waiting, actor=actor, now=now)


@transaction.atomic
def take_place(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> SignUp:
    """Take the place that is offered; also one that is free while nobody is asked for it. A second press is fine.

    Raises DayNotOpen, DayOver, or NoPlaceForYou when the place has gone to somebody else.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    day.ask_open(now)
    row = day.sign_ups.get(pk=sign_up.pk)
    if row.state == SignUp.State.CONFIRMED:
        return row
    sign_ups = day.sign_ups.filter(place=row.place)
    is_free = sign_ups.taking_places().count() < day.places(row.place) and not sign_ups.to_ask().exists()
    if row.state != SignUp.State.OFFERED and not (row.state == SignUp.State.WAITING and is_free):
        raise errors.NoPlaceForYou
    return _confirm(day, row, actor, now)


@transaction.atomic
def give_place(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> SignUp:
    """Give a free place to somebody of the waiting list, whoever waits before them: an organizer has spoken to them,
    or they stand there on the day. A second press is fine.

    Raises DayNotOpen, DayOver, or NoPlaceForYou when every place is taken or kept for somebody who is asked.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    day.ask_open(now)
    row = day.sign_ups.get(pk=sign_up.pk)
    if row.state == SignUp.State.CONFIRMED:
        return row
    is_free = day.sign_ups.filter(place=row.place).taking_places().count() < day.places(row.place)
    if row.state != SignUp.State.OFFERED and not (row.state == SignUp.State.WAITING and is_free):
        raise errors.NoPlaceForYou
    return _confirm(day, row, actor, now)


def lapsed_offers(now: datetime.datetime) -> list[int]:
    """Keys of the days on which somebody did not answer in time."""
    return list(SignUp.objects.offered().filter(offer_until__lte=now).values_list("day_id", flat=True).distinct())


@transaction.atomic
def pass_over(*, day_pk: int, now: datetime.datetime) -> None:
    """Put those who did not answer in time back on the waiting list of a day, and ask the next ones.

    They keep their number; they are not asked again, and may still take a place that stays free.
    """
    day = WorkDay.objects.held(day_pk)
    for lapsed in day.sign_ups.offered().filter(offer_until__lte=now).select_related("signed_up_by"):
        lapsed.state, lapsed.offer_until = SignUp.State.WAITING, None
        lapsed.offer_lapsed_at = lapsed.changed_at = now
        lapsed.save(update_fields=["state", "offer_until", "offer_lapsed_at", "changed_at"])
        record(group=day.group, actor=None, at=now, deed="offer lapsed", subject=lapsed)
        signals.offer_lapsed.send(SignUp, sign_up=lapsed, now=now)
    if day.is_open and not day.has_ended(now):
        offer_places(day, actor=day.posted_by, now=now)


# --- Private ---------------------------------------------------------------------------------------------------------


def _confirm(day: WorkDay, row: SignUp, actor: Account, now: datetime.datetime) -> SignUp:
    row.state, row.offer_until, row.changed_at = SignUp.State.CONFIRMED, None, now
    row.save(update_fields=["state", "offer_until", "changed_at"])
    record(group=day.group, actor=actor, at=now, deed="moved up", subject=row)
    signals.sign_up_confirmed.send(SignUp, sign_up=row, actor=actor, now=now, promoted=True)
    signals.roster_changed.send(WorkDay, day=day, now=now)
    return row
