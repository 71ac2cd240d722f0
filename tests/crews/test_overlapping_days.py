"""Two days that overlap and are planned at once: whoever comes second notices and is planned again."""

from typing import Any

import pytest
from django.db import connection

from reedcrew.crews import services
from reedcrew.crews.models import Assignment, PlanDue
from reedcrew.trade.items import Item
from reedcrew.trade.plan import Source
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db


def day_with_a_pair(group) -> WorkDay:
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand)
    for _person in range(2):
        factories.make_sign_up(day, factories.make_water_member(group))
    for _person in range(2):
        ashore = factories.make_member(group, profile={"earlier_water_days": 9, "first_aid_until": START.date()})
        factories.make_sign_up(day, ashore, place=SignUp.Place.LAND)
    return day


def waders_promised(*days: WorkDay) -> int:
    given = Assignment.objects.filter(plan__day__in=days, plan__current=True).values_list("gear", flat=True)
    return sum(
        each["item"] == Item.CHEST_WADERS and each["from"] == Source.STOCK for person in given for each in person
    )


def test_days_planned_at_once_share_no_set_once_what_is_due_is_done():
    group = factories.make_group()
    factories.make_stock(group, Item.CHEST_WADERS, 2, size="43")
    factories.make_stock(group, Item.LIFE_JACKET, 2, size="adult")
    first, second = day_with_a_pair(group), day_with_a_pair(group)
    met: list[WorkDay] = []

    def plan_the_other_first(execute: Any, sql: str, *rest: Any) -> Any:
        """When the first day's plan is solved and about to be written, the second day is planned from start to end."""
        if sql.startswith("SAVEPOINT") and not met:
            met.append(second)
            services.make_plan(day=second, actor=None, now=NOW)
        return execute(sql, *rest)

    with connection.execute_wrapper(plan_the_other_first):
        services.make_plan(day=first, actor=None, now=NOW)
    assert met
    assert list(PlanDue.objects.values_list("day", flat=True)) == [first.pk]
    services.make_due_plan(day_pk=first.pk, now=NOW)
    assert waders_promised(first, second) == 2
    assert not PlanDue.objects.exists()
