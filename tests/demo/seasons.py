"""What must hold of a loaded demo, whenever it was loaded; asked of the rows, not of the tables behind them."""

import datetime
from collections import Counter
from typing import Any

from django.apps import apps
from django.db.models import Model, Sum

from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.grants.models import HourEntry
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.models import Group
from reedcrew.people.policy import policy_of
from reedcrew.stands.queries import window_of
from reedcrew.trade.season import is_permitted
from reedcrew.workdays.models import SignUp, WorkDay

OPENS, CLOSES = (7, 15), (10, 15)  # the permitted weeks by the design's rule 1 (common practice)
SATURDAY = 6  # ISO 8601


def next_saturday(today: datetime.date) -> datetime.date:
    """The first Saturday at least four days ahead inside the permitted weeks, found day by day."""
    day = today + datetime.timedelta(days=4)
    while not (day.isoweekday() == SATURDAY and OPENS <= (day.month, day.day) <= CLOSES):
        day += datetime.timedelta(days=1)
    return day


def main_group() -> Group:
    return Group.objects.get(name="Friends of Quillet Bay")


def upcoming(group: Group) -> list[WorkDay]:
    return list(WorkDay.objects.of_group(group).posted().order_by("starts_at"))


def check_season(now: datetime.datetime) -> None:
    """Fails unless the loaded days, their people and their hours agree with the calendar and with each other."""
    group = main_group()
    next_day, later_day = upcoming(group)
    assert next_day.date == next_saturday(now.astimezone(next_day.zone_info).date())
    assert later_day.date > next_day.date

    closed = WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED)
    assert 6 <= closed.count() <= 8
    assert len({day.date.year for day in closed}) >= 2
    for day in closed.with_stand():
        assert day.ends_at < now, day.date
    for day in WorkDay.objects.with_stand():
        assert is_permitted(window_of(day.stand.site, policy_of(day.group)), day.date), day.date

    check_places()
    check_guardians()
    check_hours()
    assert not OutgoingMail.objects.filter(state=OutgoingMail.State.WAITING, sign_up__day__in=closed).exists()
    assert not OutgoingMail.objects.filter(created_at__gt=now).exists()


def check_places() -> None:
    """No day has more people than places, and nobody waits to be asked while a place is free."""
    for day in WorkDay.objects.all():
        for place in SignUp.Place:
            held = day.sign_ups.holding().filter(place=place).count()
            assert held <= day.places(place), (day.date, place)
            if day.is_open and held < day.places(place):
                assert not day.sign_ups.to_ask().filter(place=place).exists(), (day.date, place)


def check_guardians() -> None:
    """Who is under 18 on a day is there only beside their own guardian, on the roster and on site."""
    for sign_up in SignUp.objects.active().for_roster().select_related("day"):
        if not sign_up.member.profile.adult_on(sign_up.day.date):
            assert sign_up.day.sign_ups.active().filter(member=sign_up.member.guardian_id).exists(), sign_up
    for stay in Attendance.objects.select_related("member__profile", "day"):
        if not stay.member.profile.adult_on(stay.day.date):
            beside = Attendance.objects.filter(
                day=stay.day,
                member=stay.member.guardian_id,
                signed_in_at__lte=stay.signed_in_at,
                signed_out_at__gte=stay.signed_out_at,
            )
            assert beside.exists(), stay.member


def check_hours() -> None:
    """The ledger has each stay once, with its minutes, and the sums agree."""
    stays = {stay.pk: stay.minutes for stay in Attendance.objects.standing()}
    field = HourEntry.objects.filter(corrects=None, kind="field")
    assert dict(field.values_list("attendance", "minutes")) == stays
    assert field.aggregate(sum=Sum("minutes"))["sum"] == sum(minutes or 0 for minutes in stays.values())


def own_models() -> list[type[Model]]:
    return [model for model in apps.get_models() if model.__module__.startswith("reedcrew.")]


def row_counts() -> dict[str, int]:
    return {model._meta.label: model._default_manager.count() for model in own_models()}


def fingerprint() -> dict[str, Any]:
    """What of a load does not depend on keys and codes: who was where, for how long, and what was cut."""
    return {
        "rows": row_counts(),
        "roster": list(
            SignUp.objects.order_by("day__starts_at", "number", "pk").values_list(
                "day__starts_at", "number", "member__name", "place", "state", "outcome"
            )
        ),
        "stays": Counter(Attendance.objects.values_list("member__name", "signed_in_at", "signed_out_at", "in_water")),
        "stems": Counter(Tally.objects.values_list("zone__name", "stems", "unit_number")),
    }
