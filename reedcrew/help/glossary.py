"""Words of the trade as these pages use them. ``about`` leads to help: the slug of a page, or page#section."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One entry; ``anchor`` is its place on the page in every language."""

    anchor: str
    word: Text
    meaning: Text
    about: str = ""

    @property
    def about_url(self) -> str:
        slug, _mark, anchor = self.about.partition("#")
        return reverse("help:topic", args=[slug]) + (f"#{anchor}" if anchor else "")


GLOSSARY: tuple[Word, ...] = (
    Word(
        anchor="cane-cutter",
        word=_("cane cutter"),
        meaning=_("A blade on a long handle for cutting stems at the bed while standing."),
        about="cutting#deep",
    ),
    Word(
        anchor="chest-waders",
        word=_("chest waders"),
        meaning=_("Waterproof trousers up to the chest with boots. Worn in water work, with a life jacket."),
        about="rules#H5",
    ),
    Word(
        anchor="crew-lead",
        word=_("crew lead"),
        meaning=_("The person who runs the day on site, and may end it at any time."),
        about="day",
    ),
    Word(
        anchor="density",
        word=_("density"),
        meaning=_("Stems on a square metre."),
        about="sampling#quadrats",
    ),
    Word(
        anchor="first-aider",
        word=_("first-aider"),
        meaning=_("An adult whose first-aid training is valid on the day."),
        about="rules#H10",
    ),
    Word(
        anchor="gauge",
        word=_("gauge"),
        meaning=_("A fixed staff at which the level of the water is read."),
        about="depth#today",
    ),
    Word(
        anchor="gear-list",
        word=_("gear list"),
        meaning=_("What a day needs, what people bring, what the stock has, and what is short."),
        about="gear",
    ),
    Word(
        anchor="grant",
        word=_("grant"),
        meaning=_("Money from a funder, with rules on what it counts."),
        about="hours#once",
    ),
    Word(
        anchor="guardian",
        word=_("guardian"),
        meaning=_("The adult who answers for a person under 18."),
        about="rules#H3",
    ),
    Word(
        anchor="hand-sickle",
        word=_("hand sickle"),
        meaning=_("A short curved blade for cutting stems under water, one handful at a time."),
        about="cutting#deep",
    ),
    Word(
        anchor="hauler",
        word=_("hauler"),
        meaning=_("Somebody who brings cut reed from the water to dry ground."),
        about="goals#shore",
    ),
    Word(
        anchor="head-count",
        word=_("head count"),
        meaning=_("Counting everyone in the water and comparing it with who should be there."),
        about="day#head-count",
    ),
    Word(
        anchor="hours",
        word=_("hours"),
        meaning=_("Time from sign-in to sign-out, and travel and preparation beside it."),
        about="hours#ledger",
    ),
    Word(
        anchor="introduced",
        word=_("introduced reed"),
        meaning=_("The subspecies of common reed that was brought here and spreads. The only one that is cut."),
        about="identification",
    ),
    Word(
        anchor="life-jacket",
        word=_("life jacket"),
        meaning=_("Holds a person up in water. Its class follows the body mass."),
        about="rules#H5",
    ),
    Word(
        anchor="load",
        word=_("load"),
        meaning=_("Cut reed that is carried away together: a pile, or bags."),
        about="disposal",
    ),
    Word(
        anchor="match",
        word=_("match"),
        meaning=_("What a group adds to a grant, such as the value of volunteer hours."),
        about="hours#value",
    ),
    Word(
        anchor="native",
        word=_("native reed"),
        meaning=_("The subspecies of common reed that belongs here. It is protected."),
        about="identification",
    ),
    Word(
        anchor="pair",
        word=_("pair"),
        meaning=_("Two people who stay together in the water the whole time."),
        about="rules#H1",
    ),
    Word(
        anchor="quadrat",
        word=_("quadrat"),
        meaning=_("A square of known size in which every stem is counted."),
        about="sampling#quadrats",
    ),
    Word(
        anchor="rhizome",
        word=_("rhizome"),
        meaning=_("The creeping stem in the ground from which reed comes back each year."),
        about="decline#years",
    ),
    Word(
        anchor="roster",
        word=_("roster"),
        meaning=_("Everyone with a place on a day."),
        about="day#sign-in",
    ),
    Word(
        anchor="sign-in",
        word=_("sign-in"),
        meaning=_("Being written down on arrival, and out again on leaving."),
        about="day#sign-in",
    ),
    Word(
        anchor="sign-up",
        word=_("sign-up"),
        meaning=_("Asking for a place on a work day."),
    ),
    Word(
        anchor="site",
        word=_("site"),
        meaning=_("A place with one or more stands, with its own weeks, hazards and time zone."),
        about="window",
    ),
    Word(
        anchor="sled",
        word=_("sled"),
        meaning=_("What cut reed is pulled ashore on; a floating platform does the same."),
        about="gear#shared",
    ),
    Word(
        anchor="spade",
        word=_("spade"),
        meaning=_("Sharpened, for cutting stems below the ground on land and in shallow water."),
        about="cutting#shallow",
    ),
    Word(
        anchor="spotter",
        word=_("spotter"),
        meaning=_("An adult on shore who does nothing but watch the people in the water."),
        about="rules#H10",
    ),
    Word(
        anchor="stand",
        word=_("stand"),
        meaning=_("One patch of reed that is watched and cut as a whole."),
        about="identification#protected",
    ),
    Word(
        anchor="stem",
        word=_("stem"),
        meaning=_("One upright shoot of reed; what is counted."),
        about="sampling",
    ),
    Word(
        anchor="stubble",
        word=_("stubble"),
        meaning=_("What is left of cut stems. Sharp: firm soles, never bare feet."),
        about="cutting#stubs",
    ),
    Word(
        anchor="tally",
        word=_("tally"),
        meaning=_("Stems that were cut, counted one by one or in bundles."),
        about="sampling#interval",
    ),
    Word(
        anchor="unit",
        word=_("unit"),
        meaning=_("The people who stay together in the water: a pair, or once in a plan three."),
        about="rules#H1",
    ),
    Word(
        anchor="wading-limit",
        word=_("wading limit"),
        meaning=_("How deep the water may be for a person."),
        about="rules#H6",
    ),
    Word(
        anchor="waiting-list",
        word=_("waiting list"),
        meaning=_("Those who get a place on a day when one becomes free, in order."),
    ),
    Word(
        anchor="water-work",
        word=_("water work"),
        meaning=_("Work in a zone that is deeper today than a boot is safe for."),
        about="cutting#deep",
    ),
    Word(
        anchor="window",
        word=_("window"),
        meaning=_("The permitted weeks of a year."),
        about="window#weeks",
    ),
    Word(
        anchor="work-day",
        word=_("work day"),
        meaning=_("One outing to one stand, with a beginning, an end and a number of places."),
        about="window",
    ),
    Word(
        anchor="zone",
        word=_("zone"),
        meaning=_("A part of a stand that is worked in one way, because it is equally deep."),
        about="depth",
    ),
)
