"""Sentences about gear, first aid, cleaning and disposal."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

GEAR_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # trade.cleaning
        "cleaning.strength": _(
            "Bleach of {percent} % is not the usual household strength of {low} to {high} %: read its label first."
        ),
        "cleaning.mud_first": _("Brush and rinse off mud, seed and plant pieces first."),
        "cleaning.never_mix": _("Plain, unscented bleach only; never mix it with ammonia, acids or any other cleaner."),
        "cleaning.protect": _("Wear gloves and eye protection, and work in moving air."),
        "cleaning.contact": _("Keep everything wet with the solution for at least {minutes} minutes."),
        "cleaning.fresh": _("The solution is good for at most {hours} hours."),
        "cleaning.keep_out_of_water": _(
            "Keep the solution and the rinse water out of ponds, streams and drains to them."
        ),
        "cleaning.dry": _("Let gear dry for {days} days."),
        # trade.disposal
        "disposal.heads_present": _("There are seed heads: all of it goes into thick bags."),
        "disposal.heads_possible": _(
            "Nobody looked for seed heads, and from {since} they may carry seed: bag all of it."
        ),
        "disposal.no_heads": _("No seed heads: it may be piled on dry ground, well above the water line."),
        "disposal.look_for_heads": _(
            "Look for seed heads first: without them it may be piled on dry ground, well above the water line."
        ),
        "disposal.pieces_root": _("Even a small piece can root: nothing stays in or beside the water."),
        "disposal.sun_days": _(
            "Bags lie at least {days} days in direct sun. That is common practice without a source about reed; one "
            "to two months were seen for other plants."
        ),
        "disposal.burning": _("Burn only where local bylaws allow it: ask the fire office."),
        "disposal.compost": _("Do not compost it at home: such a heap does not stay hot enough."),
        # trade.first_aid
        "first_aid.by_heads": _(
            "CSA Z1220 for {people} people: {kits} {size}, which is {small} small of type 3 (higher risk)."
        ),
        "first_aid.cutting_crew": _("A crew with blades: one kit for each started {per_kit} people, so {kits}."),
        "first_aid.larger": _("The larger of both: {count}."),
        "first_aid.appointed_person": _("For {people} people: a person appointed to take charge of first aid."),
        "first_aid.first_aiders": _(
            "For {people} people working with blades or in water, first-aiders on site: {count}."
        ),
        # trade.gear
        "gear.chest_waders": _("Chest waders for water work, from the boot size up to one size above (H5)."),
        "gear.life_jacket": _("A life jacket of the class for each water worker's body mass (H5)."),
        "gear.would_go_in": _("People who would go into water too if there were gear for all of them: {people}."),
        "gear.boots": _("Rubber boots or water shoes in water up to 30 cm: never bare feet."),
        "gear.gloves": _("Gloves for everyone who cuts or hauls, by hand size."),
        "gear.size_unknown": _("People whose size is unknown: {people}. Ask before the day."),
        "gear.eye_protection": _("Eye protection for everyone who cuts or hauls: stems stand at eye level."),
        "gear.whistle": _("One whistle a water worker."),
        "gear.cutting_tool": _(
            "One hand sickle or cane cutter for each of {workers} water workers, and {spares} spare: one for each "
            "started {every}."
        ),
        "gear.spade": _(
            "One sharpened spade for each land worker ({workers}), and {spares} spare: one for each started {every}."
        ),
        "gear.stones": _("One sharpening stone for each started {every} people who cut."),
        "gear.throw_line": _("One throw line of at least {metres} m for each zone of water work ({zones})."),
        "gear.sled": _("One sled or floating platform for each started {every} water units; units: {units}."),
        "gear.twine": _("Twine to tie {stems} expected stems in bundles, in balls of {metres} m."),
        "gear.bags": _("Thick bags for {stems} expected stems: all cut reed leaves the site or dries on dry ground."),
        "gear.bags_or_pile": _("Before seed heads form fewer will do, where reed may be piled on dry ground."),
        "gear.heat_unknown": _("The heat index is unknown: look at a forecast, hot days need more water."),
        "gear.sunscreen": _("{millilitres} mL a person and time; people: {people}, times: {times}."),
        "gear.shade": _("One shade for each started {every} people."),
        "gear.sign_in_sheet": _("Paper sign-in sheets of {rows} rows, should the phones fail."),
        "gear.station": _("Cleaning stations: {stations}, one for each started {every} people."),
        "gear.bleach": _(
            "For {litres} L of solution at {target} mg/L from bleach of {percent} %: read the strength on the label "
            "and measure again for another."
        ),
        "gear.short": _("Short of {item}: {short}."),
        "gear.short_of_size": _("Short of {item}, size {size}: {short}."),
        "gear.short_of_litres": _("Short of {item}: {short} L."),
        "first_aid.too_few": _("First-aiders on the roster: {present}; suggested for this many people: {needed}."),
    }
)
