"""A day with everything on it that the paper prints, and the text of a PDF."""

import datetime
import io
from decimal import Decimal

from pypdf import PdfReader

from reedcrew.people.models import Member, PrivateRecord
from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from reedcrew.trade.items import Item
from reedcrew.trade.season import MonthDay
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.crews.crowd import day_with_gear, organizer_of, sign_up_shore, sign_up_waders, told_plan
from tests.factories import START

DAY_BEFORE = START - datetime.timedelta(days=1)
WADERS = (
    *("Ada Alder", "Bo Birch", "Cleo Cattail", "Dov Dogwood", "Edda Elm", "Finn Fern", "Gil Goldenrod", "Hana Hazel"),
    *("Ivo Iris", "Jo Juniper", "Kai Kelp", "Lea Larch"),
)
SHORE = ("Mo Maple", "Nia Nettle", "Olu Oak", "Pia Pine")


def paper_day(waders: tuple[str, ...] = WADERS) -> WorkDay:
    """An accepted plan with pairs in two zones, people on shore, a child, gear with labels, a forecast and a notice."""
    day = day_with_gear(name="Reed edge", depth_cm=60, current_m_s=Decimal("0.05"))
    Site.objects.update(
        name="Heron Landing",
        access="Past the barn, then on foot along the dike.\nThe gate stays closed: cattle.",
        parking="Gravel lot, 12 cars",
        hazards="Soft bed near the old jetty. Drop-off beside the pier.",
        emergency_entrance="North gate on Ferry Lane, wide enough for an ambulance",
    )
    factories.make_zone(day.stand, name="Shallows", depth_cm=20, units_max=2)
    factories.make_zone(day.stand, name="Bank", depth_cm=0)
    factories.make_zone(day.stand, name="Channel", depth_cm=140)
    day.zones.set(day.stand.zones.all())
    WorkDay.objects.update(
        title="Reed morning at the landing",
        forecast_temp_c=Decimal(29),
        forecast_rh_percent=65,
        forecast_wind_km_h=Decimal(14),
        forecast_water_temp_c=Decimal(19),
        note="We meet on the gravel lot and walk over together.",
        what_to_bring="Sun hat and long sleeves\nA cup for the soup",
    )
    factories.make_notice(
        day.stand.site, force="advice", opens=MonthDay(3, 15), closes=MonthDay(8, 31), note="Look for nests first."
    )
    sign_up_waders(day, *waders)
    sign_up_shore(day, *SHORE)
    guardian = day.sign_ups.get(member__name=SHORE[1]).member
    factories.make_sign_up(day, factories.make_child(guardian, name="Quinn Nettle"), place="land")
    for item, size in ((Item.BOOTS, "43"), (Item.GLOVES, "8"), (Item.EYE_PROTECTION, ""), (Item.WHISTLE, "")):
        factories.make_stock(day.group, item, 30, size=size)
    factories.make_stock(day.group, Item.HAND_SICKLE, 8)
    factories.make_sets(day.group, Item.CHEST_WADERS, 6, size="43", shelf="Crate 4")
    told_plan(WorkDay.objects.get(), organizer_of(day))
    for number, private in enumerate(PrivateRecord.objects.order_by("pk"), 1):
        private.emergency_name = f"Kin of {private.member.name}"
        private.emergency_phone = f"555 {number:04}"
        private.health_note = "secret note"
        private.save()
    return WorkDay.objects.with_stand().get()


def lead_of(day: WorkDay) -> Member:
    """A crew lead of the day's group."""
    return factories.make_member(day.group, role=Role.CREW_LEAD)


def text_of(pdf: bytes) -> str:
    """The words of a PDF, all white space as one space each."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def pages_of(pdf: bytes) -> list[str]:
    """The words of each page."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]
