"""Days with people on them, for the tests of crews."""

from reedcrew.crews import services
from reedcrew.crews.models import Plan
from reedcrew.people.models import Account, Member
from reedcrew.people.roles import Role
from reedcrew.stands.models import Zone
from reedcrew.stock.models import Entry, Kind, Movement, Place
from reedcrew.trade.items import Item, JacketClass
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import NOW, START, account_of


def day_with_gear(sets: int = 20, **zone: object) -> WorkDay:
    """A day on a stand with one zone of 60 cm, and so many sets of waders 43 and adult jackets."""
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand, **{"name": "Reed edge", "depth_cm": 60, "units_max": 8, **zone})
    day = factories.make_day(stand)
    factories.make_stock(day.group, Item.CHEST_WADERS, sets, size="43")
    factories.make_stock(day.group, Item.LIFE_JACKET, sets, size=JacketClass.ADULT.value)
    return day


def sign_up_waders(day: WorkDay, *names: str) -> list[Member]:
    """People ready for the water, experienced, of one size."""
    members = [factories.make_water_member(day.group, name=name) for name in names]
    for member in members:
        factories.make_sign_up(day, member)
    return members


def sign_up_shore(day: WorkDay, *names: str) -> list[Member]:
    """Adults for the shore; the first is a first-aider."""
    found = []
    for number, name in enumerate(names):
        profile = {"first_aid_until": START.date()} if number == 0 else {}
        member = factories.make_member(day.group, name=name, profile=profile)
        factories.make_sign_up(day, member, place=SignUp.Place.LAND)
        found.append(member)
    return found


def full_day(waders: int = 6) -> WorkDay:
    """A day with so many waders, named Wader 1 and so on, a first-aider and two more on shore."""
    day = day_with_gear()
    sign_up_waders(day, *(f"Wader {number}" for number in range(1, waders + 1)))
    sign_up_shore(day, "Ida Aid", "Sam Spotter", "Sol Shore")
    return day


def organizer_of(day: WorkDay) -> Account:
    """The account of a new organizer of the day's group."""
    return account_of(factories.make_member(day.group, role=Role.ORGANIZER))


def told_plan(day: WorkDay, actor: Account | None = None) -> Plan:
    """The day planned, and the plan accepted."""
    plan = services.make_plan(day=day, actor=None, now=NOW)
    return services.accept_plan(plan=plan, actor=actor or organizer_of(day), now=NOW).plan


def units_of(plan: Plan) -> dict[int, set[str]]:
    """The names in each unit of a plan, by its number."""
    found: dict[int, set[str]] = {}
    for each in plan.assignments.in_water().select_related("sign_up__member"):
        found.setdefault(each.unit_number or 0, set()).add(each.sign_up.member.name)
    return found


def zone_of(day: WorkDay) -> Zone:
    """The day's one zone."""
    zone: Zone = day.zones.get()
    return zone


def mark_absent(day: WorkDay, *names: str) -> None:
    """Mark these people as absent at the start of the day."""
    lead = organizer_of(day)
    for sign_up in day.sign_ups.filter(member__name__in=names):
        workdays.mark_absent(sign_up=sign_up, actor=lead, now=START)


def lose(day: WorkDay, item: Item, count: int) -> None:
    """So many pieces of an item are lost from the stock."""
    entry = Entry.objects.create(group=day.group, made_by=organizer_of(day), made_at=NOW)
    Movement.objects.create(
        entry=entry,
        line=day.group.stock_lines.get(item=item.value),
        kind=Kind.LOST,
        number=count,
        source=Place.SHELF,
        target=Place.LOST,
    )
