"""What a plan rests on, read from the rows: one work day as trade.day.Day."""

import datetime
from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

from django.db.models import Count, Q

from reedcrew.crews.gear.outings import outing_of
from reedcrew.crews.models import Assignment, PlanPin
from reedcrew.people.models import Member, Wish
from reedcrew.people.policy import policy_of
from reedcrew.stands.queries import depths_today, rates_of, standing_stems
from reedcrew.stock.queries import trade_stock, went_out
from reedcrew.trade import day as trade
from reedcrew.trade import pins as trade_pins
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.plan import Role, Source
from reedcrew.trade.told import Told, ToldRole, ToldUnit
from reedcrew.workdays.models import SignUp, WorkDay

RECENT_DAYS = 3  # design, goal 4: repeats of a pair from the last three days


def day_input(day: WorkDay, now: datetime.datetime) -> trade.Day:
    """The day as the planner takes it: who is expected, today's depths, gear that no overlapping day holds, pins, and
    what people were told.

    People and zones are named by their keys. The number of queries does not grow with the roster.
    """
    sign_ups = list(day.sign_ups.expected().for_roster().order_by("member_id"))
    members = {sign_up.member_id for sign_up in sign_ups}
    together, apart = _wishes(members)
    experience = _water_days(members)
    recent = _recent_partners(day, members)
    policy = policy_of(day.group)
    return trade.Day(
        start=day.starts_at.astimezone(day.zone_info),
        end=day.ends_at.astimezone(day.zone_info),
        zones=_zones(day, now),
        volunteers=tuple(
            _volunteer(
                sign_up,
                day.date,
                together=together.get(sign_up.member_id, ()),
                apart=apart.get(sign_up.member_id, ()),
                recent=recent.get(sign_up.member_id, ()),
                water_days=experience.get(sign_up.member_id, 0),
            )
            for sign_up in sign_ups
        ),
        stock=free_stock(day),
        weather=weather_of(day),
        policy=policy,
        pins=tuple(trade_pin(pin) for pin in pins_of(day, members)),
        told=told_on(day),
        rates=rates_of(day.group, policy),
    )


def pins_of(day: WorkDay, members: set[int]) -> list[PlanPin]:
    """The pins of a day that are about its people and zones; a pin of somebody who is not there waits."""
    zones = {zone.pk for zone in day.zones.all()}
    return [
        pin
        for pin in day.pins.select_related("member", "other", "zone")
        if pin.member_id in members
        and (pin.other_id is None or pin.other_id in members)
        and (pin.zone_id is None or pin.zone_id in zones)
    ]


def trade_pin(pin: PlanPin) -> trade_pins.Pin:
    """A pin's row, also one that is not stored, as the planner takes it."""
    return trade_pins.Pin(
        kind=trade_pins.PinKind(pin.kind),
        person=str(pin.member_id),
        other=str(pin.other_id) if pin.other_id else None,
        zone=str(pin.zone_id) if pin.zone_id else None,
        role=Role(pin.role) if pin.role else None,
    )


def told_on(day: WorkDay) -> Told | None:
    """What people were told of a day, or None while no plan of it was accepted."""
    plan = day.plans.filter(told=True).first()
    if plan is None:
        return None
    units: dict[tuple[int, int], list[str]] = {}
    roles = []
    for each in plan.assignments.exclude(kind=Assignment.Kind.NOT_PLACED).select_related("sign_up"):
        member = str(each.sign_up.member_id)
        if each.kind == Assignment.Kind.UNIT:
            units.setdefault((each.unit_number or 0, each.zone_id or 0), []).append(member)
        else:
            zone = str(each.zone_id) if each.zone_id else None
            roles.append(ToldRole(volunteer=member, role=Role(each.role), zone=zone))
    return Told(
        units=tuple(ToldUnit(zone=str(zone), members=tuple(found)) for (_unit, zone), found in sorted(units.items())),
        roles=tuple(roles),
    )


def _zones(day: WorkDay, now: datetime.datetime) -> tuple[trade.Zone, ...]:
    depths = {depth.zone.pk: depth.depth_cm for depth in depths_today(day.stand, now)}
    zones = sorted(day.zones.all(), key=lambda zone: zone.pk)
    standing = standing_stems(zones)
    return tuple(
        trade.Zone(
            name=str(zone.pk),
            depth_cm=depths[zone.pk],
            current_m_s=float(zone.current_m_s),
            stems=standing[zone.pk].stems,
            units_max=zone.units_max,
        )
        for zone in zones
    )


def _volunteer(
    sign_up: SignUp,
    date: datetime.date,
    *,
    together: Iterable[int],
    apart: Iterable[int],
    recent: Iterable[int],
    water_days: int,
) -> trade.Volunteer:
    member: Member = sign_up.member
    profile = member.profile
    return trade.Volunteer(
        id=str(member.pk),
        adult=profile.adult_on(date),
        guardian=str(member.guardian_id) if member.guardian_id else None,
        stature_cm=profile.stature_cm,
        jacket_class=JacketClass(profile.jacket_class) if profile.jacket_class else None,
        boot_eu=profile.boot_eu,
        hand_mm=profile.hand_mm,
        water_ready=profile.water_ready and sign_up.place == SignUp.Place.WATER,
        water_days=profile.earlier_water_days + water_days,
        lead=member.trained_lead,
        first_aider=profile.first_aider_on(date),
        wishes=_ids(together),
        apart=_ids(apart),
        languages=frozenset(profile.languages),
        own=frozenset(Item(item) for item in profile.own_gear),
        recent=_ids(recent),
    )


def _ids(keys: Iterable[int]) -> frozenset[str]:
    return frozenset(str(key) for key in keys)


def _wishes(members: set[int]) -> tuple[dict[int, set[int]], dict[int, set[int]]]:
    """Wishes to work together, in the direction of the ask, and to be kept apart, in both directions."""
    together: dict[int, set[int]] = {}
    apart: dict[int, set[int]] = {}
    for wish in Wish.objects.filter(member__in=members, other__in=members):
        if wish.kind == Wish.Kind.TOGETHER:
            together.setdefault(wish.member_id, set()).add(wish.other_id)
        else:
            apart.setdefault(wish.member_id, set()).add(wish.other_id)
            apart.setdefault(wish.other_id, set()).add(wish.member_id)
    return together, apart


def _water_days(members: set[int]) -> dict[int, int]:
    counted = SignUp.objects.water_days().filter(member__in=members).values("member").annotate(days=Count("pk"))
    return {row["member"]: row["days"] for row in counted.order_by("member")}


def _recent_partners(day: WorkDay, members: set[int]) -> dict[int, set[int]]:
    """Who was in one unit with whom on the group's last days before this one."""
    last = (
        WorkDay.objects.of_group(day.group)
        .filter(starts_at__lt=day.starts_at)
        .exclude(status=WorkDay.Status.CANCELLED)
        .order_by("-starts_at", "-pk")[:RECENT_DAYS]
    )
    rows = (
        Assignment.objects.in_water()
        .in_force()
        .filter(plan__day__in=[each.pk for each in last], sign_up__member__in=members)
        .values_list("plan", "unit_number", "sign_up__member")
    )
    units: dict[tuple[int, int], set[int]] = {}
    for plan, unit, member in rows:
        units.setdefault((plan, unit or 0), set()).add(member)
    partners: dict[int, set[int]] = {}
    for unit_members in units.values():
        for member in unit_members:
            partners.setdefault(member, set()).update(unit_members - {member})
    return partners


def free_stock(day: WorkDay) -> tuple[trade.StockLine, ...]:
    """What the stock can give the day, less what the plans of overlapping days hold: no set is promised twice.

    What was handed out on an overlapping day is gone from the stock already and is not taken off again.
    """
    overlapping = (
        Assignment.objects.in_force()
        .filter(
            Q(plan__day__starts_at__lt=day.ends_at, plan__day__ends_at__gt=day.starts_at),
            plan__day__status=WorkDay.Status.POSTED,
            plan__day__stand__site__group=day.group,
        )
        .exclude(plan__day=day)
    )
    promised = Counter(
        (other, allotment["item"], allotment["size"])
        for other, gear in overlapping.values_list("plan__day", "gear")
        for allotment in gear
        if allotment["from"] == Source.STOCK
    )
    held: Counter[tuple[str, str]] = Counter()
    for (_other, item, size), pieces in (promised - went_out({key[0] for key in promised}, day.group)).items():
        held[item, size] += pieces
    return tuple(
        trade.StockLine(item=line.item, size=line.size, count=max(0, line.count - held[line.item, line.size]))
        for line in trade_stock(day.group, outing_of(day))
    )


def weather_of(day: WorkDay) -> trade.Weather | None:
    """The forecast that was entered for a day; None when there is none."""

    def number(value: Decimal | int | None) -> float | None:
        if value is None:
            return None
        return int(value) if value == int(value) else float(value)  # "29 °C", not "29.0 °C", in what it leads to

    weather = trade.Weather(
        temp_c=number(day.forecast_temp_c),
        rh_percent=number(day.forecast_rh_percent),
        wind_km_h=number(day.forecast_wind_km_h),
        water_temp_c=number(day.forecast_water_temp_c),
    )
    return None if weather == trade.Weather() else weather
