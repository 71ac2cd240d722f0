"""The invented people of the demo group, as plain tables. All names, addresses and numbers are made up."""

from dataclasses import dataclass

from reedcrew.people.roles import Role
from reedcrew.trade.items import Item, JacketClass
from reedcrew.workdays.models import SignUp

ADULT, YOUTH, CHILD = JacketClass.ADULT, JacketClass.YOUTH, JacketClass.CHILD
WATER, LAND = SignUp.Place.WATER, SignUp.Place.LAND
BOOTS, GLOVES, EYES = Item.BOOTS, Item.GLOVES, Item.EYE_PROTECTION
WADERS, JACKET, SICKLE, CANE = Item.CHEST_WADERS, Item.LIFE_JACKET, Item.HAND_SICKLE, Item.CANE_CUTTER
SPADE, WHISTLE = Item.SPADE, Item.WHISTLE


@dataclass(frozen=True, slots=True)
class Person:
    """One person: what they told, and what they do in the demo.

    ``languages`` are ISO 639-1 codes; stature in cm, boot an EU size, hand in mm around the palm; None was not told.
    ``season`` is when they joined: 2, 1 or 0 seasons before the demo's. ``next`` is their place on the next work day.
    ``aid`` is the end of a first-aid certificate in days after the next work day. ``age`` is that of a person under 18.
    ``mail`` False: no address, an organizer signs them up.
    """

    name: str
    languages: str
    stature_cm: int | None = None
    jacket: JacketClass | None = None
    boot_eu: str | None = None
    hand_mm: int | None = None
    season: int = 2
    next: SignUp.Place | None = None
    ready: bool = False
    days: int = 0
    own: tuple[Item, ...] = ()
    aid: int | None = None
    role: Role = Role.VOLUNTEER
    lead: bool = False
    guardian: str = ""
    age: int | None = None
    mail: bool = True
    health: str = ""


ORGANIZER, COORDINATOR = "Ottilie Brankworth", "Desmond Quayfield"
LEADS = ("Rosalba Ingersund", "Torvald Meachley")
PARENT = "Maren Holtby"  # the volunteer with a child whom demo_accounts names
CONTACT = "crew@reedcrew.example"

STAFF = (
    Person(ORGANIZER, "en fr", 169, ADULT, "39", 184, next=LAND, days=5, own=(BOOTS, GLOVES), role=Role.ORGANIZER),
    Person(COORDINATOR, "en", 177, ADULT, "43", 213, own=(GLOVES,), role=Role.COORDINATOR),
    Person(
        "Rosalba Ingersund",
        "en es",
        173,
        ADULT,
        "40",
        191,
        next=LAND,
        ready=True,
        days=9,
        own=(WADERS, JACKET, GLOVES, EYES, WHISTLE),
        aid=420,
        role=Role.CREW_LEAD,
        lead=True,
    ),
    Person(
        "Torvald Meachley",
        "en fr",
        184,
        ADULT,
        "44.5",
        226,
        next=WATER,
        ready=True,
        days=7,
        own=(WADERS, JACKET, GLOVES, EYES, CANE, WHISTLE),
        aid=150,
        role=Role.CREW_LEAD,
        lead=True,
    ),
)

# Adults who work in water, or would.
WADING = (
    Person(PARENT, "en", 171, ADULT, "39.5", 188, next=WATER, ready=True, days=4, own=(BOOTS, GLOVES, EYES)),
    Person("Alistair Pennywell", "en", 181, ADULT, "43", 219, next=WATER, ready=True, days=3, own=(GLOVES,)),
    Person("Bettina Crosslake", "en de", 165, ADULT, "38", 179, next=WATER, ready=True, days=1, own=(BOOTS,)),
    Person("Conrad Wexmoor", "en", 178, ADULT, "44", 221, next=WATER, ready=True),
    Person("Delphine Aubrelle", "fr en", 168, ADULT, "39", 182, next=WATER, ready=True, days=2, own=(BOOTS, GLOVES)),
    Person("Etienne Vauquelot", "fr", 176, ADULT, "42", 211, next=WATER, ready=True),
    Person("Fabienne Morsaint", "fr en", 174, ADULT, "40.5", 193, next=WATER, ready=True, days=3, own=(WADERS, JACKET)),
    Person("Gaspard Lormeau", "fr", 183, ADULT, "43.5", 220, season=1, next=WATER, ready=True),
    Person("Ignace Dufrelle", "fr en", 180, ADULT, "42.5", 215, next=WATER, ready=True, days=5, own=(SICKLE,)),
    Person("Kester Bramhowe", "en", 190, ADULT, "46", 238, next=WATER, ready=True, own=(GLOVES,)),
    Person("Olwen Tarrick", "en", 159, ADULT, "37", 171, next=WATER, ready=True, days=2, own=(BOOTS, GLOVES)),
    Person("Quentin Marlthorpe", "en", 175, ADULT, "42", 208, next=WATER, ready=True, days=3),
    Person("Ulrich Saddlow", "de en", 182, ADULT, "44", 224, season=1, next=WATER, ready=True, days=2),
    Person("Yaroslav Hrynko", "uk", 179, ADULT, "42", 217, season=1, next=WATER, ready=True),
    Person("Zoriana Hrynko", "uk en", 167, ADULT, "39", 183, season=1, next=WATER, ready=True, own=(BOOTS,)),
    Person("Dagny Ullerholt", "en", 188, ADULT, "42.5", 206, next=WATER, ready=True, days=6, own=(WADERS, CANE)),
    Person("Godfrey Ilkmarsh", "en", 196, ADULT, "48", 246, next=WATER, ready=True, days=4, own=(WADERS, GLOVES)),
    Person("Harriet Oakensett", "en", 152, ADULT, "36", 164, next=WATER, ready=True, days=3, own=(GLOVES,)),
    Person("Kaspar Lindelow", "de en", 185, ADULT, "44", 229, season=1, next=WATER, ready=True),
    Person("Odalys Crespinar", "es en", 161, ADULT, "37", 173, season=0, next=WATER, ready=True),
    Person("Przemek Wolnarski", "pl", 180, ADULT, "43", 216, season=0, next=WATER, ready=True, days=2),
    Person("Norbert Hasselquay", "en", 173, ADULT, "41", 205, season=0, ready=True),
    Person("Jessamy Rookhill", "en", 176, ADULT, "41", 196, season=0, ready=True, own=(JACKET,)),
    Person("Xiulan Ruotang", "zh", 164, ADULT, "38", 174, season=0, next=WATER, ready=True),
    Person("Lorcan Tivenny", "en ga", 174, ADULT, "42", 210, season=1, ready=True, days=1),
    Person("Rufina Kowalenka", "pl en", 169, ADULT, "39", 185, season=1, ready=True, aid=-40),
    Person("Saskia Verdonkel", "nl en", 178, ADULT, "41", 194, season=1, ready=True, own=(GLOVES, EYES)),
    Person("Tibor Halmossy", "hu en", 181, ADULT, "44", 222, season=1, ready=True),
    Person("Yusuf Kavrelan", "tr en", 175, ADULT, "42", 214, season=1, ready=True, days=1),
    Person("Xaverine Laubrel", "fr en", 167, ADULT, "38", 180, season=2, ready=True, days=2, own=(BOOTS,)),
    Person("Valentin Corbanu", "ro en", 183, ADULT, "43", 217, season=0, ready=True),
    Person("Mateo Quirolas", "es en", 172, ADULT, "42", 209, season=1, next=WATER, ready=True, own=(BOOTS,)),
    Person("Nerea Olivarte", "es", 166, ADULT, "38.5", 181, season=1, next=WATER, ready=True),
    Person("Emeric Solvignac", "fr en", 177, ADULT, "43", 212, season=1, next=WATER, ready=True),
    Person("Hestia Northrow", "en", 163, ADULT, "37.5", 176, next=WATER, ready=True, own=(GLOVES, EYES)),
    Person("Jorunn Haldsay", "en", 187, ADULT, "43.5", 218, next=WATER, ready=True, days=1),
    Person("Tamsin Eldercot", "en", 170, ADULT, "40", 187, next=WATER, ready=True, own=(WADERS, GLOVES)),
)

# Adults who stay on land, by choice or because something is unknown.
ON_LAND = (
    Person("Anselm Duskeld", "en", 174, ADULT, "42", 212, next=LAND, own=(SPADE, GLOVES), health="Bee stings: swells."),
    Person("Briony Fetherlow", "en", 162, ADULT, "38", 177, next=LAND, aid=95),
    Person("Cyprian Ostrega", "pl en", 179, ADULT, "43", 219, season=1, next=LAND, own=(BOOTS, GLOVES)),
    Person("Fenella Strandow", "en", 158, ADULT, "36.5", 168, next=LAND, health="Asthma: inhaler in the left pocket."),
    Person("Ingram Pellowby", "en", 183, ADULT, "44", 228, next=LAND, own=(SPADE,)),
    Person("Leocadia Fuentarra", "es", 157, ADULT, "36", 166, season=1, next=LAND),
    Person("Mirabel Yarnwick", "en fr", next=LAND, aid=-200, own=(GLOVES,)),
    Person("Percival Thornrow", "en", 176, ADULT, "42.5", 214, next=LAND, ready=True, health="Left knee: no kneeling."),
    Person("Quilla Samaniro", "es", 160, None, "37", None, season=1, next=LAND, ready=True),
    Person("Roderick Blythemoor", "en", None, ADULT, "43", 218, next=LAND, ready=True, days=1),
    Person("Stanhope Greelock", "en", season=1),
    Person("Ursula Greywether", "en", 164, ADULT, None, 178, next=LAND, ready=True),
    Person("Violetta Brisquet", "fr", 166, ADULT, "38.5", 181, season=0),
    Person("Wendeline Coppermere", "en", 170, ADULT, "40", 189, season=1, own=(BOOTS, GLOVES)),
    Person("Winifred Aldersyke", "en", season=1, health="Hay fever; carries tablets."),
    Person("Zelda Fenwright", "en", 168, ADULT, "39", 183, season=0, aid=600),
    Person("Abelard Nunmoor", "", season=1, mail=False),
    Person("Blanche Ketterside", "en", season=1, next=LAND, mail=False),
    Person("Corisande Pellgrave", "", season=0),
)

MINORS = (
    Person("Ada Holtby", "en", 149, YOUTH, "36", 158, next=WATER, ready=True, own=(BOOTS,), guardian=PARENT, age=12),
    Person("Finn Holtby", "en", 168, ADULT, "41", 190, guardian=PARENT, age=15),
    Person("Lina Hrynko", "uk en", 136, YOUTH, "34", 148, season=1, next=LAND, guardian="Zoriana Hrynko", age=10),
    Person("Jonas Saddlow", "de en", 179, ADULT, "43", 209, season=1, ready=True, guardian="Ulrich Saddlow", age=16),
    Person("Pia Crosslake", "en", 158, YOUTH, "37", 165, next=WATER, ready=True, guardian="Bettina Crosslake", age=14),
    Person("Theo Aubrelle", "fr en", 154, YOUTH, "38", 163, season=1, guardian="Delphine Aubrelle", age=13),
    Person("Mika Ullerholt", "en", 131, CHILD, "33", 141, season=1, next=LAND, guardian="Dagny Ullerholt", age=9),
    Person("Nuria Quirolas", "es en", 145, YOUTH, "36", 155, season=1, guardian="Mateo Quirolas", age=11),
    Person("Rhys Tarrick", "en", 181, ADULT, "44", 221, ready=True, days=1, guardian="Olwen Tarrick", age=17),
)
MINOR_WITH_ADDRESS = "Rhys Tarrick"  # signs in alone; the organizer has entered the guardian

PEOPLE = (*STAFF, *WADING, *ON_LAND, *MINORS)

# Who asked to work with whom; each direction is one ask.
TOGETHER = (
    ("Alistair Pennywell", "Quentin Marlthorpe"),
    ("Quentin Marlthorpe", "Alistair Pennywell"),
    ("Etienne Vauquelot", "Fabienne Morsaint"),
    ("Yaroslav Hrynko", "Zoriana Hrynko"),
    ("Nerea Olivarte", "Mateo Quirolas"),
    ("Mateo Quirolas", "Nerea Olivarte"),
    ("Hestia Northrow", "Harriet Oakensett"),
    ("Kester Bramhowe", "Godfrey Ilkmarsh"),
    ("Jorunn Haldsay", "Dagny Ullerholt"),
    ("Tamsin Eldercot", "Quentin Marlthorpe"),
    ("Gaspard Lormeau", "Ignace Dufrelle"),
    ("Anselm Duskeld", "Ingram Pellowby"),
    ("Xaverine Laubrel", "Delphine Aubrelle"),
)
APART = (
    ("Conrad Wexmoor", "Kester Bramhowe"),
    ("Hestia Northrow", "Olwen Tarrick"),
    ("Emeric Solvignac", "Gaspard Lormeau"),
)
