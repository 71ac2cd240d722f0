"""H5 from the other side: what waders and life jackets to get so that everyone goes in who would."""

from dataclasses import replace

import pytest

from reedcrew.trade.gear import complete
from reedcrew.trade.items import Item
from reedcrew.trade.plan import ClosedZone, Role
from tests.trade.gear_days import BAY, FIRST_AIDER, WHY, ashore, day_of, pair, person, plan_of, sums

JACKETS = (Item.LIFE_JACKET, "adult", 9)


class TestWhoWaitsForWaders:
    def test_without_any_waders_all_who_are_ready_are_short(self):
        day = day_of(person("amy"), person("bob", boot="43.5"), FIRST_AIDER, stock=[JACKETS])
        plan = complete(day, plan_of())
        assert sums(plan, Item.CHEST_WADERS) == {"42": (1, 0, 0, 1), "44": (1, 0, 0, 1)}
        assert sums(plan, Item.LIFE_JACKET) == {"adult": (2, 0, 9, 0)}

    def test_a_set_too_few_counts_both_of_a_pair(self):
        day = day_of(person("amy"), person("bob"), FIRST_AIDER, stock=[JACKETS, (Item.CHEST_WADERS, "42", 1)])
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {"42": (2, 0, 1, 1)}

    def test_a_larger_set_that_fits_is_used_before_anything_is_called_short(self):
        day = day_of(person("amy"), person("bob"), FIRST_AIDER, stock=[JACKETS, (Item.CHEST_WADERS, "43", 1)])
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {"42": (1, 0, 0, 1), "43": (1, 0, 1, 0)}

    def test_who_could_be_dressed_from_stock_waits_for_something_else(self):
        day = day_of(person("amy"), person("bob"), FIRST_AIDER, stock=[JACKETS, (Item.CHEST_WADERS, "42", 2)])
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {}

    def test_own_waders_need_no_stock_while_their_owner_waits_for_a_jacket(self):
        day = day_of(person("amy", own={Item.CHEST_WADERS}), person("bob"), FIRST_AIDER)
        plan = complete(day, plan_of())
        assert sums(plan, Item.CHEST_WADERS) == {"42": (1, 0, 0, 1)}
        assert sums(plan, Item.LIFE_JACKET) == {"adult": (2, 0, 0, 2)}

    def test_a_third_person_may_wait_beside_a_pair(self):
        day = day_of(
            person("amy"), person("bob"), person("cyd"), FIRST_AIDER, stock=[JACKETS, (Item.CHEST_WADERS, "42", 2)]
        )
        plan = complete(day, plan_of(pair("amy", "bob")))
        assert sums(plan, Item.CHEST_WADERS) == {"42": (3, 0, 2, 1)}
        (line,) = [line for line in plan.gear if line.item is Item.CHEST_WADERS]
        assert (line.who, line.without) == (("amy", "bob"), ("cyd",))
        assert line.reasons[-1].code == "gear.would_go_in"

    @pytest.mark.parametrize(
        "bob",
        [
            person("bob", water_ready=False),  # H4
            person("bob", adult=False, guardian="amy"),  # H3
            person("bob", adult=False),  # H3
            person("bob", stature_cm=119),  # H6: half of it is 59 cm
            person("bob", stature_cm=None),
            person("bob", boot=None),
            person("bob", jacket_class=None),
        ],
    )
    def test_whoever_may_not_enter_for_another_reason_is_not_counted(self, bob):
        # Amy and Cyd wait; Bob does not.
        day = day_of(person("amy"), bob, person("cyd"), FIRST_AIDER, stock=[JACKETS])
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {"42": (2, 0, 0, 2)}

    @pytest.mark.parametrize(
        "zone",
        [
            replace(BAY, units_max=0),  # H9
            replace(BAY, depth_cm=30),  # no water work
            replace(BAY, depth_cm=95),  # H6
            replace(BAY, current_m_s=0.8),  # H7: 0.48 m²/s
        ],
    )
    def test_where_no_water_work_is_open_nobody_waits(self, zone):
        day = day_of(person("amy"), person("bob"), FIRST_AIDER, zones=(zone,))
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {}

    def test_a_closed_zone_lets_nobody_wait(self):
        day = day_of(person("amy"), person("bob"), FIRST_AIDER)
        closed = (ClosedZone(zone="bay", reasons=WHY),)
        assert sums(complete(day, plan_of(closed=closed)), Item.CHEST_WADERS) == {}

    @pytest.mark.parametrize("others", [(), (person("dee", adult=False, first_aider=True),)])
    def test_h10_without_an_adult_first_aider_nobody_waits(self, others):
        day = day_of(person("amy"), person("bob"), person("cyd"), *others)
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {}

    def test_h10_one_adult_stays_ashore_as_spotter(self):
        everyone = [person(name, first_aider=name == "amy") for name in ("amy", "bob", "cyd")]
        assert sums(complete(day_of(*everyone), plan_of()), Item.CHEST_WADERS) == {"42": (2, 0, 0, 2)}
        assert sums(complete(day_of(*everyone[:2]), plan_of()), Item.CHEST_WADERS) == {}

    def test_posts_that_water_work_needs_are_not_gear_s_fault(self):
        day = day_of(*(person(name) for name in ("amy", "bob", "cyd")), FIRST_AIDER)
        shore = (ashore("amy", Role.SPOTTER, "bay"), ashore("zoe", Role.FIRST_AIDER), ashore("bob", Role.HAULER))
        assert sums(complete(day, plan_of(shore=shore)), Item.CHEST_WADERS) == {"42": (2, 0, 0, 2)}

    def test_h9_no_more_wait_than_there_are_free_places(self):
        names = [f"p{number}" for number in range(9)]
        day = day_of(*(person(name) for name in names), FIRST_AIDER, zones=(replace(BAY, units_max=2),))
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {"42": (4, 0, 0, 4)}

    def test_small_people_keep_their_places_in_shallower_water(self):
        shallow, deep = replace(BAY, name="cove", depth_cm=40, units_max=1), replace(BAY, depth_cm=90, units_max=1)
        tall = [person(name, stature_cm=185) for name in ("amy", "bob")]
        small = [person(name, stature_cm=100) for name in ("cyd", "dan")]
        day = day_of(*tall, *small, FIRST_AIDER, zones=(shallow, deep))
        assert sums(complete(day, plan_of()), Item.CHEST_WADERS) == {"42": (4, 0, 0, 4)}
