"""The characters by which the introduced and the native reed are told apart, each with how decisive it is.

Sources, as far as they could be read:

- McTavish, Smith, Mechanda, Smith and Bourchier (2023), Invasive Plant Science and Management 16:110-118, doi
  10.1017/inp.2023.15 (abstract and text on management): 22 traits of 21 introduced and 27 native populations of
  southern Ontario, named by genetic barcoding. Four separated them completely; spots occurred on natives only; height,
  stem width and density overlap too much to decide. Two of the four need cut-offs; that of lower glume with leaf length
  could not be read and is left out.
- Swearingen and Saltonstall (2010), field guide: sheaths, colours, seed heads, spots.
- Saltonstall, Peterson and Soreng (2004), Sida 21: 690: ligule, glumes and lemma of the native reed.
- A tip sheet and a Great Lakes fact sheet of the U.S. Geological Survey: ligule without saying whether hairs count,
  stem surface, colours, sizes.
- Allen, McCormick, Jantzen, Marr and Brown (2017): in British Columbia no single trait decided.

From memory: the lemma of the introduced reed, flowering of the native one, that stem colour depends on sun. The limits
of ligule and the rule that two characters are needed are conventions of this project. Rhizomes are left out: digging
for them does harm. Stem width is left out, for no width of the native reed was found.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum, StrEnum
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _


class Side(StrEnum):
    """Which reed a character points to."""

    INTRODUCED = "introduced"
    NATIVE = "native"


class Weight(Enum):
    """How decisive a character is. COMPLETE: it separated the two in the study; STRONG: outside the other's range."""

    COMPLETE = "complete"
    STRONG = "strong"
    MEDIUM = "medium"
    WEAK = "weak"

    @property
    def decides(self) -> bool:
        """Whether this character against a result takes that result away. Tendencies overlap and never do."""
        return self in {Weight.COMPLETE, Weight.STRONG}


class Character(StrEnum):
    """A character; its value is the field of Observation, and part of its codes of reasons."""

    SHEATHS = "sheaths"
    INTERNODES = "internodes"
    SPOTS = "spots"
    LIGULE = "ligule"
    LOWER_GLUME = "lower_glume"
    UPPER_GLUME = "upper_glume"
    LEMMA = "lemma"
    SURFACE = "surface"
    LEAVES = "leaves"
    SEED_HEAD = "seed_head"
    FLOWERING = "flowering"
    HEIGHT = "height"
    STAND_FORM = "stand_form"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What a measure can be: outside of it lies a slip of pen or unit, some three times beyond what is published."""

    field: str
    least: Decimal
    most: Decimal
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CharacterFacts:
    """One line of the table, in English for pages to translate. ``native_only``: it never points to the introduced."""

    title: str
    introduced: str
    native: str
    weight: Weight
    source: str
    how: str
    measure: Measure | None = None
    native_only: bool = False


_ONTARIO = "McTavish and others 2023"
_GUIDE = "Swearingen and Saltonstall 2010"
_SIDA = "Saltonstall, Peterson and Soreng 2004"
_SHEETS = "U.S. Geological Survey, tip sheet and Great Lakes fact sheet"


def _millimetres(field: str, least: str, most: str) -> Measure:
    return Measure(field=field, least=Decimal(least), most=Decimal(most), unit="mm")


CHARACTERS: Mapping[Character, CharacterFacts] = MappingProxyType(
    {
        Character.SHEATHS: CharacterFacts(
            title=_("Leaf sheaths on dead stems"),
            introduced=_("hold tight, hard to pull off"),
            native=_("fall off or slip off easily"),
            weight=Weight.COMPLETE,
            source=_("McTavish and others 2023; Swearingen and Saltonstall 2010"),
            how=_("Look at last year's dead stems, still standing. Try to pull a sheath off several of them."),
        ),
        Character.INTERNODES: CharacterFacts(
            title=_("Colour of the lower stem"),
            introduced=_("tan to dull green, no dark red"),
            native=_("dark red to chestnut in the growing season"),
            weight=Weight.COMPLETE,
            source=_("McTavish and others 2023; Swearingen and Saltonstall 2010; that it depends on sun: from memory"),
            how=_(
                "Bend the leaves away on live stems in the growing season and look at the lower stem between the "
                "knots, on the sunny side."
            ),
        ),
        Character.SPOTS: CharacterFacts(
            title=_("Round black spots on the stem"),
            introduced=_("never (mildew may occur: it smears)"),
            native=_("on some plants"),
            weight=Weight.COMPLETE,
            source=_("McTavish and others 2023; Swearingen and Saltonstall 2010"),
            how=_("Look at several stems for small, round, sharp black spots of a fungus. None seen says nothing."),
            native_only=True,
        ),
        Character.LIGULE: CharacterFacts(
            title=_("Ligule"),
            introduced=_("base up to 0.3 mm; with its hairs, as floras measure it, under 0.9 mm"),
            native=_("base 0.6 mm or more; with its hairs 1.0 mm or more"),
            weight=Weight.COMPLETE,
            source=_(
                "McTavish and others 2023; Saltonstall, Peterson and Soreng 2004; U.S. Geological Survey, tip sheet "
                "and Great Lakes fact sheet; a New England key; limits: convention"
            ),
            how=_(
                "Bend a leaf of the middle stem down: the ligule is the low rim where the blade meets the sheath. "
                "Measure with a loupe, and say whether you counted the fringe of hairs."
            ),
            measure=_millimetres("ligule_mm", "0.05", "5"),
        ),
        Character.LOWER_GLUME: CharacterFacts(
            title=_("Lower glume"),
            introduced=_("2.5 to 5.0 mm"),
            native=_("3.0 to 6.5 mm"),
            weight=Weight.STRONG,
            source=_("Saltonstall, Peterson and Soreng 2004; a Minnesota flora"),
            how=_("The shorter of the two scales at the foot of a spikelet, from a ripe seed head, under a loupe."),
            measure=_millimetres("lower_glume_mm", "1", "20"),
        ),
        Character.UPPER_GLUME: CharacterFacts(
            title=_("Upper glume"),
            introduced=_("4.5 to 7.5 mm"),
            native=_("5.5 to 11.0 mm"),
            weight=Weight.STRONG,
            source=_("Saltonstall, Peterson and Soreng 2004; a Minnesota flora"),
            how=_("The longer of the two scales at the foot of the same spikelet."),
            measure=_millimetres("upper_glume_mm", "1", "30"),
        ),
        Character.LEMMA: CharacterFacts(
            title=_("Lemma"),
            introduced=_("7.5 to 12 mm"),
            native=_("8.0 to 13.5 mm"),
            weight=Weight.STRONG,
            source=_("Saltonstall, Peterson and Soreng 2004; introduced: from memory"),
            how=_("The scale that encloses a floret, above the glumes."),
            measure=_millimetres("lemma_mm", "2", "40"),
            native_only=True,
        ),
        Character.SURFACE: CharacterFacts(
            title=_("Stem surface"),
            introduced=_("dull, ridged, rough, rigid"),
            native=_("smooth, shiny"),
            weight=Weight.MEDIUM,
            source=_("U.S. Geological Survey, tip sheet and Great Lakes fact sheet; Swearingen and Saltonstall 2010"),
            how=_("Feel the stem below a knot, where the sheath has covered it, with your finger nail."),
        ),
        Character.LEAVES: CharacterFacts(
            title=_("Leaf colour"),
            introduced=_("blue-green to grey-green, darker"),
            native=_("yellow-green, lighter"),
            weight=Weight.WEAK,
            source=_SHEETS,
            how=_("In summer, from a few steps away. It changes with soil and sun."),
        ),
        Character.SEED_HEAD: CharacterFacts(
            title=_("Seed head"),
            introduced=_("dense, bushy, purple or golden"),
            native=_("sparser"),
            weight=Weight.WEAK,
            source=_(
                "U.S. Geological Survey, tip sheet and Great Lakes fact sheet; Swearingen and Saltonstall 2010; "
                "a Minnesota flora"
            ),
            how=_("From August on. Shake and count nothing: the look is a tendency only."),
        ),
        Character.FLOWERING: CharacterFacts(
            title=_("Season of flowering"),
            introduced=_("August to September"),
            native=_("July to August"),
            weight=Weight.WEAK,
            source=_("Swearingen and Saltonstall 2010; native: from memory"),
            how=_("When did most of the stand flower? It shifts with latitude and with the year."),
        ),
        Character.HEIGHT: CharacterFacts(
            title=_("Height of the stems"),
            introduced=_("1.5 to 6 m"),
            native=_("0.9 to 2.1 m in Minnesota"),
            weight=Weight.WEAK,
            source=_("U.S. Geological Survey, tip sheet and Great Lakes fact sheet; a Minnesota flora"),
            how=_("Estimate against a person or a pole, in late summer."),
            measure=Measure(field="height_cm", least=Decimal(10), most=Decimal(1000), unit="cm"),
        ),
        Character.STAND_FORM: CharacterFacts(
            title=_("Density of the stand"),
            introduced=_("dense, reed alone, live stems among last year's dead ones"),
            native=_("mixed with other plants, few dead stems"),
            weight=Weight.WEAK,
            source=_GUIDE,
            how=_("Look at the middle of the stand, not at its edge."),
        ),
    }
)
