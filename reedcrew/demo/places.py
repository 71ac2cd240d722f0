"""The invented shore: sites, stands and zones of the demo group, as plain tables."""

from dataclasses import dataclass

from reedcrew.stands.models import Site, Zone
from reedcrew.trade.season import MonthDay, Window

GROUP_NAME = "Friends of Quillet Bay"
TIME_ZONE = "America/Toronto"

LANDING, SEDGE_CORNER = "Landing stand", "Sedge corner"
QUARRY, MILL_DITCH = "Quarry pool stand", "Mill ditch"
BOATHOUSE, ISLET = "Boathouse fringe", "Islet patch"

QUARRY_WINDOW = Window(opens=MonthDay(8, 1), closes=MonthDay(9, 25), authority="Quillet Marsh Bird Wardens")


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFacts:
    """A site. ``gauge_cm`` is its usual gauge level, None where there is no gauge."""

    name: str
    latitude: str
    longitude: str
    meeting_place: str
    access: str
    parking: str
    phone_signal: Site.PhoneSignal
    emergency_entrance: str
    hazards: str
    gauge_cm: int | None
    gauge_name: str = ""
    gauge_datum: str = ""
    window: Window | None = None

    @property
    def usual_cm(self) -> int:
        """The usual gauge level, 0 where there is no gauge."""
        return self.gauge_cm or 0


@dataclass(frozen=True, slots=True, kw_only=True)
class StandFacts:
    """A stand. ``first_cut`` is the first year of cutting in years before the demo's season."""

    name: str
    site: str
    first_cut: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneFacts:
    """A zone. ``corners`` are metres east and north of the site's meeting place; ``stems`` are those of the surveys in
    the seasons two years ago, one year ago, and of the demo."""

    stand: str
    name: str
    depth_cm: int
    bed: Zone.Bed
    units_max: int
    corners: tuple[tuple[float, float], ...]
    stems: tuple[int, int, int]
    current_m_s: str = "0"


SITES = (
    SiteFacts(
        name="Quillet Landing",
        latitude="44.462100",
        longitude="-76.214300",
        meeting_place="Gravel lot beside the old boat landing",
        access=(
            "From the concession road turn at the blue mailbox and follow the gravel lane for 600 m. The last 80 m are "
            "on foot, on a mown path."
        ),
        parking="12 cars on the gravel lot. Keep the lane to the landing free for an ambulance.",
        phone_signal=Site.PhoneSignal.PATCHY,
        emergency_entrance="Landing gate at the end of the gravel lane; someone waits there with a vest",
        hazards=(
            "Soft mud beyond the outer stakes. Old sharp stubs in all zones. Motor boats on fine weekends: keep inside "
            "the buoys. Ticks in the long grass. Poison ivy along the path."
        ),
        gauge_cm=120,
        gauge_name="Staff at the old landing",
        gauge_datum="gauge zero is 73.10 m above the invented Quillet datum",
    ),
    SiteFacts(
        name="Quarry Marsh",
        latitude="44.478600",
        longitude="-76.197500",
        meeting_place="Picnic table at the quarry gate",
        access="Marked footpath from the gate, 350 m, with one plank bridge. Carts fit, trailers do not.",
        parking="6 cars along the fence. More at Quillet Landing, 25 minutes on foot.",
        phone_signal=Site.PhoneSignal.NONE,
        emergency_entrance="Quarry gate, combination known to the crew leads",
        hazards=(
            "No phone signal: the radio hangs at the picnic table. Steep drop behind the yellow rope at the north edge "
            "of the pool. Wasps in the old wall."
        ),
        gauge_cm=88,
        gauge_name="Painted mark at the plank bridge",
        gauge_datum="lower edge of the white band on the north pile",
        window=QUARRY_WINDOW,
    ),
    SiteFacts(
        name="Boathouse Point",
        latitude="44.451900",
        longitude="-76.231200",
        meeting_place="North side of the green boathouse",
        access="By the shore path from the lane end, level, 200 m.",
        parking="8 cars at the lane end.",
        phone_signal=Site.PhoneSignal.GOOD,
        emergency_entrance="Lane end at the green boathouse",
        hazards="Slippery boulders at the waterline. Broken glass was found near the boathouse: gloves at all times.",
        gauge_cm=None,
    ),
)

STANDS = (
    StandFacts(
        name=LANDING,
        site="Quillet Landing",
        first_cut=2,
        note="The group's main stand. Cut from the outer edge towards the landing.",
    ),
    StandFacts(
        name=SEDGE_CORNER,
        site="Quillet Landing",
        note="Left alone until somebody with experience has looked at it in August.",
    ),
    StandFacts(
        name=QUARRY,
        site="Quarry Marsh",
        first_cut=1,
        note="Work only in the weeks that the bird wardens allow.",
    ),
    StandFacts(
        name=MILL_DITCH,
        site="Quarry Marsh",
        note="Native and protected. Marked with white ribbons so that nobody cuts here by mistake.",
    ),
    StandFacts(
        name=BOATHOUSE,
        site="Boathouse Point",
        first_cut=3,
        note="Nearly gone. The first year was recorded on paper only.",
    ),
    StandFacts(name=ISLET, site="Boathouse Point", note="Seen from a boat. Nobody has looked at the stems yet."),
)

ZONES = (
    ZoneFacts(
        stand=LANDING,
        name="Bank",
        depth_cm=0,
        bed=Zone.Bed.DRY,
        units_max=6,
        corners=((-8, -14), (34, -20), (36, -27), (-7, -22)),
        stems=(6200, 3900, 2100),
    ),
    ZoneFacts(
        stand=LANDING,
        name="Inner shallows",
        depth_cm=24,
        bed=Zone.Bed.FIRM,
        units_max=2,
        corners=((-7, -22), (36, -27), (38, -35), (-5, -31)),
        stems=(7400, 4100, 2300),
        current_m_s="0.05",
    ),
    ZoneFacts(
        stand=LANDING,
        name="Middle belt",
        depth_cm=55,
        bed=Zone.Bed.FIRM,
        units_max=6,
        corners=((-5, -31), (38, -35), (41, -49), (14, -52), (-3, -45)),
        stems=(14800, 9300, 5200),
        current_m_s="0.10",
    ),
    ZoneFacts(
        stand=LANDING,
        name="Outer edge",
        depth_cm=79,
        bed=Zone.Bed.SOFT,
        units_max=4,
        corners=((-3, -45), (14, -52), (41, -49), (43, -60), (12, -65), (-1, -56)),
        stems=(11200, 6900, 3600),
        current_m_s="0.15",
    ),
    ZoneFacts(
        stand=QUARRY,
        name="Ramp",
        depth_cm=0,
        bed=Zone.Bed.DRY,
        units_max=4,
        corners=((52, 30), (70, 34), (68, 41), (51, 38)),
        stems=(3100, 3300, 1700),
    ),
    ZoneFacts(
        stand=QUARRY,
        name="Pool edge",
        depth_cm=22,
        bed=Zone.Bed.FIRM,
        units_max=3,
        corners=((51, 38), (68, 41), (66, 52), (50, 49)),
        stems=(4800, 5100, 2600),
    ),
    ZoneFacts(
        stand=QUARRY,
        name="Pool",
        depth_cm=68,
        bed=Zone.Bed.PEAT,
        units_max=4,
        corners=((50, 49), (66, 52), (71, 66), (58, 74), (47, 63)),
        stems=(8600, 8900, 4700),
    ),
    ZoneFacts(
        stand=BOATHOUSE,
        name="Boulders",
        depth_cm=15,
        bed=Zone.Bed.FIRM,
        units_max=4,
        corners=((-30, 6), (-12, 10), (-13, 16), (-31, 13)),
        stems=(900, 260, 35),
    ),
    ZoneFacts(
        stand=BOATHOUSE,
        name="Slip",
        depth_cm=48,
        bed=Zone.Bed.SOFT,
        units_max=3,
        corners=((-31, 13), (-13, 16), (-15, 26), (-29, 24)),
        stems=(1600, 420, 60),
    ),
)
