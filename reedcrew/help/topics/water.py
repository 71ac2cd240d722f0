"""Depth today, and how reed is cut at it."""

from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, Section, Topic, Value
from reedcrew.trade.method import WATER_WORK_DEPTH_CM

DEPTH = Topic(
    slug="depth",
    title=_("Depth today"),
    lead=_("Water rises and falls. What counts is how deep a zone is on the day, not when it was surveyed."),
    icon="water",
    cautions=("water",),
    sections=(
        Section(
            anchor="today",
            title=_("From the survey and the gauge"),
            says=_(
                "Depth today is the surveyed depth, plus the gauge level today, minus the gauge level at the survey. "
                "It is rounded up to whole centimetres. Without a gauge the surveyed depth stands, and pages say so."
            ),
            why=_("A gauge shows how far the water has moved since somebody stood there with a stick."),
            drawing="depth",
            source=(_("Arithmetic on your own readings. Measure in the zone itself before anybody goes in."),),
            codes=("water", "moves"),
        ),
        Section(
            anchor="current",
            title=_("Current"),
            says=_(
                "A zone with water needs a measured current, 0 where the water is still. An unknown current closes it."
            ),
            why=_("Water that is knee-deep and fast takes a person off their feet."),
            source=(_("The limit and its source stand at rule H7."),),
        ),
    ),
)

CUTTING = Topic(
    slug="cutting",
    title=_("How to cut, and what to wear"),
    lead=_("Depth decides the tool, the clothes and whether there is a partner."),
    icon="blade",
    cautions=("blades", "water"),
    sections=(
        Section(
            anchor="deep",
            title=_("In deeper water: cut at the bed"),
            says=_(
                "Over the depth of water work stems are cut as near the bed as possible, with a hand sickle or a "
                "long-handled cane cutter."
            ),
            why=_("Stubble that stays under water gets no air; that, not the cut alone, weakens the plant."),
            drawing="cut-at-bed",
            source=(COMMON_PRACTICE,),
            codes=("method", "method.cut_at_bed"),
            values=(Value(label=_("Water work: deeper than"), amount=WATER_WORK_DEPTH_CM, unit="cm"),),
        ),
        Section(
            anchor="shallow",
            title=_("In shallow water and on land: the spade"),
            says=_(
                "Up to that depth a sharpened spade is set at about 45° to the base of the stem, and as little soil "
                "as possible is disturbed."
            ),
            why=_("The spade takes the stem below the ground; loosened soil is a bed for new shoots."),
            drawing="spade",
            source=(COMMON_PRACTICE,),
            codes=("method.spade_at_base",),
        ),
        Section(
            anchor="water-work",
            title=_("Worn in water work"),
            says=_("Chest waders, a life jacket that is closed, gloves and eye protection, and always a partner."),
            why=_(
                "Waders that fill, a hole in the bed or a cramp can drown somebody; "
                "a partner within reach sees it and can help."
            ),
            drawing="gear",
            source=(COMMON_PRACTICE,),
            codes=("wear", "wear.water_work"),
        ),
        Section(
            anchor="stubs",
            title=_("Worn in shallow water and on land"),
            says=_(
                "In shallow water: rubber boots or water shoes, gloves, eye protection, still in pairs. On land: "
                "sturdy closed shoes, gloves and eye protection. Never bare feet."
            ),
            why=_("Old stubs are sharp, and stems stand at eye level."),
            source=(COMMON_PRACTICE,),
            codes=("wear.shallow", "wear.dry", "H5.footwear", "H5.footwear_unknown", "H5.footwear_taken", "gear.boots"),
        ),
    ),
)
