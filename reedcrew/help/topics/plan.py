"""The hard rules of a plan, H1 to H11, and what makes one plan better than another."""

from django.utils.translation import gettext as now_in_words
from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, CONVENTION, Section, Table, Topic, Value
from reedcrew.people.words import jacket_bands
from reedcrew.trade.pairing.roles import UNITS_PER_HAULER
from reedcrew.trade.unit_rules import UNIT_SIZES
from reedcrew.trade.water import WADING_PRODUCT_M2_S

RULE_OF_PROJECT = _("Rule of this project, on the side of safety; no source.")


def jackets() -> Table:
    return Table(
        caption=_("Class of life jacket by body mass"),
        headings=(_("Class"), _("Body mass")),
        cells=tuple((now_in_words(name), band) for name, band in jacket_bands()),
    )


HARD_RULES = Topic(
    slug="rules",
    title=_("Who may be in water"),
    lead=_("Eleven hard rules. A plan that breaks one is never shown, whoever asks for it."),
    icon="people",
    cautions=("water", "minors"),
    sections=(
        Section(
            anchor="H1",
            title=_("H1: nobody is in water alone"),
            says=_(
                "Everyone in a zone with any water belongs to one unit of two. A plan may have one unit of three, "
                "where somebody would otherwise be left out."
            ),
            why=_("A partner within reach is the first help there is. Three watch each other less well than two."),
            drawing="pair",
            source=(RULE_OF_PROJECT,),
            codes=("H1", "unit.not_expected", "unit.dry", "unit_may_not_go_in"),
            values=(
                Value(label=_("People in a unit"), amount=UNIT_SIZES[0]),
                Value(label=_("In the one larger unit"), amount=UNIT_SIZES[1]),
            ),
        ),
        Section(
            anchor="H2",
            title=_("H2: somebody who has done it before"),
            says=_("Each unit in water has an adult with enough earlier water days, or a trained lead."),
            why=_("The first time in waders nobody should have to find out alone how deep mud holds a foot."),
            source=(RULE_OF_PROJECT,),
            codes=("H2",),
            policy=("water_days_min",),
        ),
        Section(
            anchor="H3",
            title=_("H3: people under 18"),
            says=_(
                "A person under 18 is never in deep water, and in shallower water only in a unit with their own "
                "guardian. On shore they haul, without blades. Somebody whose age is unknown counts as under 18."
            ),
            why=_("The one who knows them and answers for them must be within reach. Local rules come first."),
            source=(RULE_OF_PROJECT,),
            codes=(
                "H3",
                "role.hauler_minor",
                "guardian_missing",
                "guardian_needed",
                "guardian_not_on_site",
                "guardian_not_in_water",
                "consent_needed",
            ),
            policy=("minor_depth_cm_max",),
        ),
        Section(
            anchor="H4",
            title=_("H4: only who said yes"),
            says=_("Only people who said that they are willing and able to work in water are planned in water."),
            why=_("Staying ashore needs no reason, and there is always work there."),
            source=(RULE_OF_PROJECT,),
            codes=("H4",),
        ),
        Section(
            anchor="H5",
            title=_("H5: waders and life jackets that fit"),
            says=_(
                "Everyone in water work has chest waders that fit, their own or of the stock: labelled from their boot "
                "size up to one size above. And a life jacket of the class for their body mass. One set serves one "
                "person. An unknown boot size or body mass keeps a person out of water work."
            ),
            why=_("Waders that are too large fill and trip. A jacket for another mass does not hold the face up."),
            source=(
                _("Life jackets: 46 CFR 160.047-2 and 160.060-2; the lowest bound is from memory."),
                _(
                    "Boots: formulas that hit four anchors of a public page citing ISO 19407; the tables of the "
                    "standard were not seen."
                ),
            ),
            codes=("H5", "gear.chest_waders", "gear.life_jacket", "gear.would_go_in", "no_jacket_so_light"),
            table=jackets,
        ),
        Section(
            anchor="H6",
            title=_("H6: how deep a person may wade"),
            says=_(
                "Depth today is at most the wading limit of each person: a share of their height, and never more than "
                "the depth for anyone. An unknown height keeps a person ashore."
            ),
            why=_("With water at the hip one still stands; at the chest one floats."),
            source=(RULE_OF_PROJECT,),
            codes=("H6", "told.not_here"),
            policy=("wading_depth_cm_max", "wading_stature_share"),
        ),
        Section(
            anchor="H7",
            title=_("H7: depth and current together"),
            says=_(
                "Depth times current stays under the published wading limit, divided by a safety factor for "
                "volunteers. At the limit or above, or with an unknown current, the zone is closed."
            ),
            why=_("The published limit is made for strong, trained adults. Still water has its own limit: H6."),
            source=(
                _(
                    "Depth (ft) × velocity (ft/s) = 10, read in a public page; that the US Geological Survey uses it "
                    "is from memory. The factor: convention of this project."
                ),
            ),
            codes=("H7", "water.wading_open"),
            policy=("wading_safety_factor",),
            values=(Value(label=_("Published limit"), amount=WADING_PRODUCT_M2_S, unit="m²/s", places=3),),
        ),
        Section(
            anchor="H8",
            title=_("H8: kept apart"),
            says=_("People who asked to be kept apart never share a unit. Only organizers can see the ask."),
            why=_("A unit rests on trust. Nobody has to explain theirs."),
            source=(RULE_OF_PROJECT,),
            codes=("H8",),
        ),
        Section(
            anchor="H9",
            title=_("H9: room in a zone"),
            says=_("A zone holds at most its number of units."),
            why=_("Blades need room, and a spotter must be able to see everyone."),
            source=(COMMON_PRACTICE,),
            codes=("H9", "told.room", "told.zone_gone"),
        ),
        Section(
            anchor="H10",
            title=_("H10: eyes on shore, and a first-aider"),
            says=_(
                "While anyone is in water, an adult spotter on shore watches each started group of units of a zone, "
                "and at least one first-aider is on the roster. Without either nobody works in water."
            ),
            why=_("Who is cutting looks down. Somebody has to look up, count, and be free to call for help."),
            source=(RULE_OF_PROJECT,),
            codes=("H10", "told.unwatched", "nobody_on_shore", "role.first_aider"),
            policy=("units_per_spotter",),
        ),
        Section(
            anchor="H11",
            title=_("H11: a shared language"),
            says=_("The members of a unit share a spoken language. Unknown languages count as none."),
            why=_("A warning must be understood the first time."),
            source=(RULE_OF_PROJECT,),
            codes=("H11",),
        ),
    ),
)

GOALS = Topic(
    slug="goals",
    title=_("Which plan is the best"),
    lead=_(
        "Among all plans that keep the hard rules, the first goal in which two differ decides. The search proves that "
        "none is better, or says that it could not."
    ),
    icon="chart",
    sections=(
        Section(
            anchor="goal-1",
            title=_("1. The most people in water"),
            says=_("As many people as the zones, the gear and the hard rules allow work in water units."),
            why=_("People who came to work in water should."),
            source=(CONVENTION,),
            codes=("what_if", "plan.not_proven"),
        ),
        Section(
            anchor="goal-2",
            title=_("2. The most wishes to work together"),
            says=_("Each wish that is met counts once; two people who wish for each other count twice."),
            why=_("People come back for the people they work beside."),
            source=(CONVENTION,),
            codes=("goal.wish",),
        ),
        Section(
            anchor="goal-3",
            title=_("3. Somebody seasoned in each unit"),
            says=_("The fewest units in which nobody has several earlier water days."),
            why=_("Skill goes round when those who have it are spread out."),
            source=(CONVENTION,),
            codes=("goal.unseasoned",),
            policy=("seasoned_water_days",),
        ),
        Section(
            anchor="goal-4",
            title=_("4. New partners"),
            says=_("The fewest pairs who were already partners in the last three days of work."),
            why=_("A crew in which everyone has worked beside everyone is a safer crew."),
            source=(CONVENTION,),
            codes=("goal.repeat",),
        ),
        Section(
            anchor="goal-5",
            title=_("5. Tall people to deep zones"),
            says=_(
                "Stature and depth match as closely as they can. Each level of depth that a person is off counts one."
            ),
            why=_("The same water is deeper for a short person."),
            source=(CONVENTION,),
            codes=("goal",),
        ),
        Section(
            anchor="shore",
            title=_("Roles on shore"),
            says=_(
                "Who is not in water watches, keeps the first-aid kit or the sign-in desk, hauls, or cuts with the "
                "spade on dry land. Nobody is left without a reason in words."
            ),
            why=_("A cut stem is only out of the lake when somebody has carried it."),
            source=(COMMON_PRACTICE,),
            codes=("role", "unit"),
            values=(Value(label=_("Water units for one hauler"), amount=UNITS_PER_HAULER),),
        ),
        Section(
            anchor="pins",
            title=_("Pins"),
            says=_(
                "An organizer can pin a pair, a zone or a role, and plan again. A pin that breaks a hard rule is "
                "refused with the code of the rule."
            ),
            why=_("Organizers know what no list knows. The hard rules hold all the same."),
            source=(CONVENTION,),
            codes=("pin", "pins", "pinned_already", "plan_does_not_stand"),
        ),
        Section(
            anchor="told",
            title=_("What people were told"),
            says=_(
                "Once a plan is accepted and sent, a new one changes as little of it as the hard rules allow, and the "
                "page counts the people who must be told something new."
            ),
            why=_("A plan that moves every day is read by nobody."),
            source=(CONVENTION,),
            codes=("told", "plan_superseded"),
        ),
        Section(
            anchor="remedies",
            title=_("What would help"),
            says=_("Beside a closed zone or a person left ashore stand single changes that would let them in."),
            why=_("Each is tried by planning again, so that none is an empty promise."),
            source=(CONVENTION,),
            codes=("remedy",),
        ),
    ),
)
