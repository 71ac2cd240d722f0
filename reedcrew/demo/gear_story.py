"""What the gear of the demo lives through: labels, the days on which it went out, cleaning, drying, and a loan."""

import datetime
from collections.abc import Sequence

from reedcrew.crews.gear import services as gear
from reedcrew.crews.gear.queries import gear_sheet
from reedcrew.demo.dates import DAY, Season
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.models import Account, Group
from reedcrew.stock import services as stock
from reedcrew.stock.models import Kind, Place, StockLine
from reedcrew.stock.queries import care_list, counted_in_stock, states_of_group
from reedcrew.stock.services import Pieces
from reedcrew.trade.items import Item
from reedcrew.workdays.models import WorkDay

LABELLED = {Item.CHEST_WADERS: "Boathouse, drying rail", Item.LIFE_JACKET: "Boathouse, left rack"}
# On the same evening, and in stock before the next day two weeks later is planned.
CLEANED_AFTER, DRIED_AFTER = datetime.timedelta(hours=3), 3 * DAY
LENDER = "Larkholm Pond Circle"


def give_labels(group: Group, actor: Account, now: datetime.datetime) -> None:
    """Waders and life jackets become sets that are known one by one."""
    for line in StockLine.objects.of_group(group).select_related("group").order_by("pk"):
        if line.kind in LABELLED and (number := counted_in_stock(line)):
            stock.give_labels(line=line, number=number, shelf=LABELLED[line.kind], actor=actor, now=now)


def hand_out(day: WorkDay, stays: Sequence[Attendance], actor: Account) -> None:
    """The plan's sets are booked on the evening before; who came to work in water gets theirs in the morning."""
    gear.book_for(day=day, actor=actor, now=day.starts_at - datetime.timedelta(hours=15))
    here = {stay.member_id for stay in stays if stay.in_water}
    for person in gear_sheet(day).people:
        if person.member.pk in here and person.waits_for_gear:
            gear.hand_out(
                day=day,
                member=person.member,
                sets=person.sets_booked,
                counted=person.counted_wanted,
                actor=actor,
                now=day.starts_at,
            )


def take_back(day: WorkDay, actor: Account) -> None:
    """Everything comes back at the end; the first pair of waders with a leak."""
    leaking = True
    for person in gear_sheet(day).people:
        if not person.has_gear:
            continue
        sets = dict.fromkeys(person.sets_out, Kind.RETURNED)
        for each in person.sets_out:
            if leaking and each.line.kind is Item.CHEST_WADERS:
                sets[each], leaking = Kind.DAMAGED, False
        gear.take_back(
            day=day,
            member=person.member,
            sets=sets,
            counted=[(each, Kind.RETURNED) for each in person.counted_out],
            note="Drips at the left knee" if Kind.DAMAGED in sets.values() else "",
            actor=actor,
            now=day.ends_at,
        )
    for state in states_of_group(day.group):
        if state.place is Place.REPAIR:
            stock.move_set(
                gear_set=state.gear_set,
                kind=Kind.REPAIRED,
                note="Patched inside and out",
                actor=actor,
                now=day.ends_at + CLEANED_AFTER / 2,
            )


def clean_and_dry(day: WorkDay, actor: Account) -> None:
    """In the evening all is cleaned, and in stock again when it has dried."""
    for kind, after in ((Kind.CLEANED, CLEANED_AFTER), (Kind.DRIED, DRIED_AFTER)):
        waits = care_list(day.group)
        sets = waits.sets_to_clean if kind is Kind.CLEANED else waits.sets_to_dry
        counted = waits.counted_to_clean if kind is Kind.CLEANED else waits.counted_to_dry
        if sets or counted:
            stock.mark(
                group=day.group,
                kind=kind,
                sets=[state.gear_set for state in sets],
                counted=[Pieces(line=each.line, number=each.number) for each in counted],
                actor=actor,
                now=day.ends_at + after,
            )


def borrow_waders(group: Group, season: Season, actor: Account, now: datetime.datetime) -> None:
    """Two pairs that the neighbours want back before the later day."""
    stock.borrow(
        group=group,
        party=LENDER,
        due_on=season.later_day - 3 * DAY,
        item=Item.CHEST_WADERS,
        size="41",
        number=2,
        labels=True,
        actor=actor,
        now=now,
    )
