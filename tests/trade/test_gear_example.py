"""The gear list of one invented day, worked by hand. Read the day, then follow the expected lines one by one."""

import datetime
from decimal import Decimal

from reedcrew.trade.day import Day, StockLine, Volunteer, Weather, Zone
from reedcrew.trade.gear import complete
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.plan import Allotment, NotPlaced, Plan, Role, ShoreRole, Source, Status, Unit
from reedcrew.trade.reasons import reason

EASTERN = datetime.timezone(datetime.timedelta(hours=-4))
WHY = (reason("H1"),)


def person(name, *, boot="42", hand=229, own=(), ready=False, first_aider=False):
    """An adult of 175 cm."""
    return Volunteer(
        id=name,
        adult=True,
        stature_cm=175,
        jacket_class=JacketClass.ADULT,
        boot_eu=Decimal(boot),
        hand_mm=hand,
        water_ready=ready,
        water_days=3,
        first_aider=first_aider,
        languages=frozenset({"en"}),
        own=frozenset(own),
    )


PEOPLE = (
    # The pair in the bay. Hand 203 mm is glove size 8, 229 mm is 9 (EN 420).
    person("ada", hand=203, ready=True, own={Item.CHEST_WADERS, Item.LIFE_JACKET, Item.GLOVES, Item.CANE_CUTTER}),
    person("ben", boot="43", ready=True),
    # The pair in the shallow strip. Hand 178 mm is size 7; nobody asked Dov for his hand.
    person("cleo", boot="38.5", hand=178, ready=True, own={Item.BOOTS}),
    person("dov", boot="42", hand=None, ready=True),
    # Ashore.
    person("eva"),
    person("finn", first_aider=True, own={Item.FIRST_AID_KIT}),
    person("gus", hand=240, own={Item.SLED}),  # nearest glove 9
    person("hana", hand=203, own={Item.EYE_PROTECTION}),
    person("ivo", own={Item.SPADE}),
    # Jon and Kim are ready for water, the bay has room for two more pairs, but no waders fit them.
    person("jon", boot="44", hand=254, ready=True),
    person("kim", boot="41", ready=True),
    # Lena has nothing to do yet, but may come: she drinks and signs in like the others.
    person("lena"),
)

STOCK = {
    (Item.CHEST_WADERS, "43"): 1,
    (Item.LIFE_JACKET, "adult"): 2,
    (Item.BOOTS, "43"): 1,
    (Item.GLOVES, "8"): 1,
    (Item.GLOVES, "9"): 2,
    (Item.EYE_PROTECTION, ""): 5,
    (Item.HAND_SICKLE, ""): 1,
    (Item.CANE_CUTTER, ""): 2,
    (Item.SPADE, ""): 4,
    (Item.SHARPENING_STONE, ""): 1,
    (Item.THROW_LINE, ""): 1,
    (Item.WHISTLE, ""): 1,
    (Item.BAG, ""): 20,
    (Item.FIRST_AID_KIT, ""): 2,
    (Item.DRINKING_WATER, ""): 40,
    (Item.SUNSCREEN, ""): 500,
    (Item.BLEACH, ""): 1000,
    (Item.BRUSH, ""): 4,
    (Item.SPRAYER, ""): 1,
    (Item.SHADE, ""): 2,
}

DAY = Day(
    # A Saturday from 9 to 13, four hours.
    start=datetime.datetime(2025, 9, 6, 9, tzinfo=EASTERN),
    end=datetime.datetime(2025, 9, 6, 13, tzinfo=EASTERN),
    zones=(
        Zone(name="bay", depth_cm=60, stems=5000, units_max=3),
        Zone(name="strip", depth_cm=20, stems=3000, units_max=2),
        Zone(name="meadow", depth_cm=0, stems=400),
    ),
    volunteers=PEOPLE,
    stock=tuple(StockLine(item=item, size=size, count=count) for (item, size), count in STOCK.items()),
    # Heat index 29.6 °C (85 °F): below the 103 °F from which more water is brought.
    weather=Weather(temp_c=28, rh_percent=60, water_temp_c=18),
)


def own(item, size=""):
    return Allotment(item=item, size=size, source=Source.OWN)


def lent(item, size=""):
    return Allotment(item=item, size=size, source=Source.STOCK)


DRAFT = Plan(
    status=Status.OPTIMAL,
    objective=(4, 0, 0, 0, 0),
    bound=(4, 0, 0, 0, 0),
    units=(
        Unit(
            zone="bay",
            members=("ada", "ben"),
            gear=(
                ("ada", (own(Item.CHEST_WADERS), own(Item.LIFE_JACKET))),
                ("ben", (lent(Item.CHEST_WADERS, "43"), lent(Item.LIFE_JACKET, "adult"))),
            ),
            reasons=WHY,
        ),
        Unit(zone="strip", members=("cleo", "dov"), gear=(("cleo", ()), ("dov", ())), reasons=WHY),
    ),
    shore=(
        ShoreRole(volunteer="eva", role=Role.SPOTTER, zone="bay", reasons=WHY),
        ShoreRole(volunteer="finn", role=Role.FIRST_AIDER, zone=None, reasons=WHY),
        ShoreRole(volunteer="gus", role=Role.HAULER, zone=None, reasons=WHY),
        ShoreRole(volunteer="hana", role=Role.SPADE_CREW, zone="meadow", reasons=WHY),
        ShoreRole(volunteer="ivo", role=Role.SPADE_CREW, zone="meadow", reasons=WHY),
        ShoreRole(volunteer="jon", role=Role.HAULER, zone=None, reasons=WHY),
        ShoreRole(volunteer="kim", role=Role.SIGN_IN_DESK, zone=None, reasons=WHY),
    ),
    not_placed=(NotPlaced(volunteer="lena", reasons=WHY),),
    closed_zones=(),
    gear=(),
    warnings=(),
)

EXPECTED = [
    # item, size, unit, needed, own, in stock, short
    # Ada wears her own; Ben the one set of 43; Jon (44) and Kim (41) would go in.
    ("chest waders", "", "piece", 1, 1, 0, 0),
    ("chest waders", "41", "piece", 1, 0, 0, 1),
    ("chest waders", "43", "piece", 1, 0, 1, 0),
    ("chest waders", "44", "piece", 1, 0, 0, 1),
    # Only the strip is shallow. Cleo's own (38.5, so label 39); Dov fits 42 or 43, and 43 is there.
    ("boots", "39", "piece", 1, 1, 0, 0),
    ("boots", "43", "piece", 1, 0, 1, 0),
    # Ada's own; Ben, Jon and Kim need one each, two are there.
    ("life jacket", "", "piece", 1, 1, 0, 0),
    ("life jacket", "adult", "piece", 3, 0, 2, 1),
    # Eight people handle reed: two pairs, spade crew Hana and Ivo, haulers Gus and Jon.
    ("gloves", "", "piece", 1, 0, 0, 1),  # Dov, size unknown
    ("gloves", "7", "piece", 1, 0, 0, 1),  # Cleo
    ("gloves", "8", "piece", 2, 1, 1, 0),  # Ada brings hers, Hana gets one
    ("gloves", "9", "piece", 3, 0, 2, 1),  # Ben and Gus get one, Ivo none
    ("gloves", "10", "piece", 1, 0, 0, 1),  # Jon
    ("eye protection", "", "piece", 8, 1, 5, 2),  # Hana brings hers
    # Two water workers and one spare (2 / 5, started). Ada has her cane cutter, Ben takes the sickle, the spare is a
    # cane cutter because no sickle is left.
    ("hand sickle", "", "piece", 1, 0, 1, 0),
    ("cane cutter", "", "piece", 2, 1, 2, 0),
    # Four cut with spades (20 cm of water is spade work) and one spare (4 / 5, started); Ivo brings his.
    ("spade", "", "piece", 5, 1, 4, 0),
    ("sharpening stone", "", "piece", 2, 0, 1, 1),  # six people cut: 6 / 5, started
    ("throw line", "", "piece", 1, 0, 1, 0),  # the bay; the strip is no water work
    ("whistle", "", "piece", 2, 0, 1, 1),  # Ada and Ben
    ("sled", "", "piece", 1, 1, 0, 0),  # two units: 2 / 2; Gus brings his
    # Stems: bay 2 people × 4 h × 100 = 800, strip the same, meadow 2 × 4 × 150 = 1200 but only 400 stand. Together
    # 2000.
    ("twine", "", "piece", 1, 0, 0, 1),  # 2000 / 250 = 8 bundles × 2 m = 16 m
    ("bag", "", "piece", 14, 0, 20, 0),  # 2000 / 150 = 13.3
    ("first-aid kit", "", "piece", 4, 1, 2, 1),  # CSA Z1220: 1 small; cutting crew 12 / 3 = 4, the larger
    ("drinking water", "", "L", 45.5, 0, 40, 5.5),  # 12 × 4 h × 0.94635 L = 45.42, a tenth up
    ("sunscreen", "", "mL", 720, 0, 500, 220),  # 12 × 2 times × 30 mL
    # Two stations (12 / 10, started) of 20 L at 200 mg/L from 5 %: 200 × 40 000 / 50 000 = 160 mL.
    ("bleach", "", "mL", 160, 0, 1000, 0),
    ("cleaning water", "", "L", 40, 0, 0, 40),
    ("brush", "", "piece", 4, 0, 4, 0),
    ("sprayer", "", "piece", 2, 0, 1, 1),
    ("shade", "", "piece", 2, 0, 2, 0),  # 12 / 10, started
    ("sign-in sheet", "", "piece", 1, 0, 0, 1),  # 12 / 20, started
]


def test_the_lines_are_those_worked_by_hand():
    lines = [
        (line.item.value, line.size, line.unit, line.needed, line.own, line.in_stock, line.short)
        for line in complete(DAY, DRAFT).gear
    ]
    assert lines == EXPECTED


def test_each_person_gets_what_their_place_asks_for():
    plan = complete(DAY, DRAFT)
    given = {name: allotments for unit in plan.units for name, allotments in unit.gear}
    given |= {duty.volunteer: duty.gear for duty in plan.shore}
    assert given == {
        "ada": (
            own(Item.CHEST_WADERS),
            own(Item.LIFE_JACKET),
            own(Item.GLOVES, "8"),
            lent(Item.EYE_PROTECTION),
            own(Item.CANE_CUTTER),
            lent(Item.WHISTLE),
        ),
        "ben": (
            lent(Item.CHEST_WADERS, "43"),
            lent(Item.LIFE_JACKET, "adult"),
            lent(Item.GLOVES, "9"),
            lent(Item.EYE_PROTECTION),
            lent(Item.HAND_SICKLE),
        ),
        "cleo": (own(Item.BOOTS, "39"), lent(Item.EYE_PROTECTION), lent(Item.SPADE)),
        "dov": (lent(Item.BOOTS, "43"), lent(Item.EYE_PROTECTION), lent(Item.SPADE)),
        "eva": (),
        "finn": (),
        "gus": (lent(Item.GLOVES, "9"), lent(Item.EYE_PROTECTION)),
        "hana": (lent(Item.GLOVES, "8"), own(Item.EYE_PROTECTION), lent(Item.SPADE)),
        "ivo": (own(Item.SPADE),),
        "jon": (),
        "kim": (),
    }


def test_each_line_says_who_goes_without():
    without = {(line.item.value, line.size): line.without for line in complete(DAY, DRAFT).gear if line.without}
    assert without == {
        ("chest waders", "41"): ("kim",),
        ("chest waders", "44"): ("jon",),
        ("life jacket", "adult"): ("kim",),
        ("gloves", ""): ("dov",),
        ("gloves", "7"): ("cleo",),
        ("gloves", "9"): ("ivo",),
        ("gloves", "10"): ("jon",),
        ("eye protection", ""): ("ivo", "jon"),
        ("whistle", ""): ("ben",),
    }


def test_missing_protective_gear_is_warned_of():
    assert [warning.text for warning in complete(DAY, DRAFT).warnings] == [
        "Short of gloves: 1.",
        "Short of gloves, size 7: 1.",
        "Short of gloves, size 9: 1.",
        "Short of gloves, size 10: 1.",
        "Short of eye protection: 2.",
        "Short of whistle: 1.",
        "Short of first-aid kit: 1.",
        "Short of drinking water: 5.5 L.",
    ]


def test_every_line_says_why():
    plan = complete(DAY, DRAFT)
    assert all(line.reasons for line in plan.gear)
    assert {because.code for line in plan.gear if line.item is Item.FIRST_AID_KIT for because in line.reasons} == {
        "first_aid.by_heads",
        "first_aid.cutting_crew",
        "first_aid.larger",
    }
