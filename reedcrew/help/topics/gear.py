"""How much gear, how it is cleaned, and where cut reed goes."""

from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, CONVENTION, Section, Table, Topic, Value
from reedcrew.trade import cleaning, disposal, first_aid
from reedcrew.trade.gear import norms
from reedcrew.trade.sizes import GLOVES


def gloves() -> Table:
    return Table(
        caption=_("Glove size by hand circumference"),
        headings=(_("Size"), _("Around the hand, in mm")),
        cells=tuple((str(size), str(around)) for size, around, _length in GLOVES),
    )


GEAR = Topic(
    slug="gear",
    title=_("How much gear"),
    lead=_("The gear list is worked out from the plan, the depth today, the forecast and the hours."),
    icon="gear",
    cautions=("blades",),
    sections=(
        Section(
            anchor="protection",
            title=_("Gloves, eye protection, whistles"),
            says=_(
                "Gloves and eye protection for everyone who cuts or hauls, a whistle for each water worker. The glove "
                "size is the nearest by hand circumference, or the larger one that the length asks for."
            ),
            why=_("Reed leaves cut, stems stand at eye level, and a voice does not carry over water."),
            source=(
                _("Glove sizes: EN 420:2003; sizes 4, 5, 12 and 13 are from memory. Who needs what: common practice."),
            ),
            codes=("gear.gloves", "gear.eye_protection", "gear.whistle", "gear.size_unknown"),
            table=gloves,
        ),
        Section(
            anchor="tools",
            title=_("Tools and spares"),
            says=_(
                "One hand sickle or cane cutter for each water worker, one spade for each land worker, and spares. "
                "Sharpening stones for those who cut. Nobody under 18 is handed a blade."
            ),
            why=_("Tools break and get lost in the reed; a blunt blade slips."),
            source=(COMMON_PRACTICE,),
            codes=("gear.cutting_tool", "gear.spade", "gear.stones"),
            policy=("spare_tool_every",),
            values=(Value(label=_("People who share a sharpening stone"), amount=norms.TOOLS_PER_STONE),),
        ),
        Section(
            anchor="shared",
            title=_("For the whole crew"),
            says=_("A throw line for each zone of water work, sleds, twine, shade, cleaning stations, paper sheets."),
            why=_("Counted so that nobody waits, and so that a dead phone stops nothing."),
            source=(
                CONVENTION,
                _("Throw line: as long as the line of a ring buoy, 29 CFR 1926.106(c)."),
                _("Twine: computed from a thatching bundle."),
            ),
            codes=("gear", "gear.throw_line", "gear.sled", "gear.twine", "gear.sign_in_sheet", "gear.shade"),
            values=(
                Value(label=_("Throw line, at least"), amount=norms.THROW_LINE_M, unit="m", places=1),
                Value(label=_("Water units for one sled"), amount=norms.UNITS_PER_SLED),
                Value(label=_("Stems in a bundle"), amount=norms.STEMS_PER_BUNDLE),
                Value(label=_("Twine for a bundle"), amount=norms.TWINE_M_PER_BUNDLE, unit="m"),
                Value(label=_("People under one shade"), amount=norms.PEOPLE_PER_SHADE),
                Value(label=_("People at one cleaning station"), amount=norms.PEOPLE_PER_STATION),
                Value(label=_("Rows on a sign-in sheet"), amount=norms.ROWS_PER_SIGN_IN_SHEET),
            ),
        ),
        Section(
            anchor="bags",
            title=_("Bags"),
            says=_("Thick bags for the expected stems, light enough to lift from the ground."),
            why=_("A bag that is too heavy is dragged, tears, and leaves pieces behind that root."),
            source=(
                _(
                    "Convention: no bulk density was found. At 50 g a fresh stem a full bag stays under what the "
                    "NIOSH lifting equation allows for a lift from the ground."
                ),
            ),
            codes=("gear.bags", "gear.bags_or_pile"),
            values=(Value(label=_("Fresh stems in one bag"), amount=disposal.STEMS_PER_BAG),),
        ),
        Section(
            anchor="sunscreen",
            title=_("Sunscreen"),
            says=_("For everyone, put on again while the day lasts, and sooner after water or sweat."),
            why=_("Water and pale stubble throw the sun back up."),
            source=(_("21 CFR 201.327, from memory; Environment and Climate Change Canada."),),
            codes=("gear.sunscreen",),
            values=(
                Value(label=_("For one person at a time"), amount=norms.SUNSCREEN_ML, unit="mL"),
                Value(label=_("Again every"), amount=norms.SUNSCREEN_EACH_H, unit="h"),
            ),
        ),
        Section(
            anchor="first-aid",
            title=_("First aid"),
            says=_(
                "Kits by the number of people, and more for a crew with blades: the larger of both counts. "
                "First-aiders on site by head count; work with blades is a higher hazard. Where none is asked for, "
                "somebody is appointed to take charge. While anyone is in water there is one whatever the number: "
                "rule H10."
            ),
            why=_("Local rules on first aid at work come first; these are suggestions for where there are none."),
            source=(
                _("Kits: CSA Z1220-17, clause 6. A crew with blades: 29 CFR 1910.266, appendix A, rounded up."),
                _("First-aiders: UK HSE L74, suggested numbers."),
            ),
            codes=("first_aid", "H10.no_first_aider"),
            values=(
                *(
                    Value(label=format_lazy(_("Most people for one kit, {size}"), size=_(size)), amount=people)
                    for people, size in first_aid.KITS_BY_PEOPLE
                ),
                Value(label=_("With blades, people for one kit"), amount=first_aid.CUTTING_CREW_PER_KIT),
                Value(
                    label=_("With blades, a first-aider from so many people"),
                    amount=first_aid.FIRST_AIDER_FROM[first_aid.Hazard.HIGHER],
                ),
            ),
        ),
    ),
)

CLEANING = Topic(
    slug="cleaning",
    title=_("Cleaning gear"),
    lead=_("Footwear, clothes and gear are cleaned before they leave for another site."),
    icon="flask",
    cautions=("bleach",),
    sections=(
        Section(
            anchor="solution",
            title=_("A mild bleach solution"),
            says=_(
                "Brush and rinse off mud, seed and pieces of plant first. Then keep everything wet with the solution, "
                "rinse, and let it dry. Mix it anew each day, for the strength on the label of your bottle."
            ),
            why=_("One seed in a boot tread starts the next stand."),
            source=(
                "Wis. Adm. Code NR 329.04, NR 345.04.",
                _("cdc.gov/hygiene: strengths on labels, and how long a solution is good."),
                _("Drying: an agency's decontamination sheet."),
            ),
            codes=("cleaning", "gear.station", "gear.bleach"),
            values=(
                Value(label=_("Strength"), amount=cleaning.GEAR_MG_L, unit="mg/L"),
                Value(label=_("Kept wet for at least"), amount=cleaning.GEAR_CONTACT_MIN, unit=_("minutes")),
                Value(label=_("Solution is good for at most"), amount=cleaning.SOLUTION_GOOD_H, unit="h"),
                Value(label=_("Dry for"), amount=cleaning.DRY_DAYS, unit=_("days")),
                Value(label=_("Weakest bleach on labels"), amount=cleaning.LABEL_PERCENT_MIN, unit="%"),
                Value(label=_("Strongest bleach on labels"), amount=cleaning.LABEL_PERCENT_MAX, unit="%"),
            ),
        ),
        Section(
            anchor="ready",
            title=_("Clean and dry, or not in stock"),
            says=_("Gear that is not marked clean and dry does not count for a day at another site."),
            why=_("A promise of waders that still hang wet from another lake is no promise."),
            source=(COMMON_PRACTICE,),
            codes=(
                "set_not_ready",
                "set_not_cleaned",
                "set_booked",
                "told.gear",
                "gear.short",
                "gear.short_of_size",
                "gear.short_of_litres",
            ),
        ),
    ),
)

DISPOSAL = Topic(
    slug="disposal",
    title=_("Where cut reed goes"),
    lead=_("All of it leaves the water. Even a small piece can root."),
    icon="leave",
    cautions=("burning",),
    sections=(
        Section(
            anchor="pile",
            title=_("Before seed heads form"),
            says=_("Cut reed may be piled on dry ground, well above the water line, where it dries out."),
            why=_("Without seed only pieces that stay wet can grow again."),
            drawing="dry-ground",
            source=(COMMON_PRACTICE,),
            codes=("disposal", "disposal.no_heads", "disposal.look_for_heads"),
        ),
        Section(
            anchor="bag",
            title=_("With seed heads"),
            says=_(
                "Everything goes into thick bags that lie closed in direct sun, and then to landfill, compost or fire "
                "as local rules allow. Where nobody looked for seed heads, seed is assumed in the season below."
            ),
            why=_("Heat in the bag is meant to kill seed and rhizome. It was measured for other plants, not for reed."),
            source=(
                COMMON_PRACTICE,
                _("Season of seed: convention from flowering dates; the earlier date holds everywhere."),
            ),
            codes=("disposal.heads_present", "disposal.heads_possible", "disposal.sun_days", "still_in_sun"),
            policy=("sun_days",),
            values=(
                Value(label=_("Seed may be on the heads from"), amount=disposal.SEED_FROM),
                Value(label=_("Until"), amount=disposal.SEED_UNTIL),
            ),
        ),
        Section(
            anchor="burning",
            title=_("Burning and compost"),
            says=_(
                "Burn only where local bylaws allow it: ask the fire office. Do not compost reed at home: such a heap "
                "does not stay hot enough."
            ),
            why=_("Dry reed burns fast and high, and this page cannot know the bylaws of your place."),
            source=(COMMON_PRACTICE,),
            codes=("disposal.burning", "disposal.compost"),
        ),
    ),
)
