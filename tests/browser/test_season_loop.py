"""A season's loop as four people walk it: from the posted day to the funder's file, in a browser each.

Everything that the loop is about is done on pages, with a real worker, a real broker and a real mail server. What a
group has before it posts a day (site, stand, zones, stock, neighbours with a full profile) comes from factories.
"""

import csv
import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from reedcrew.crews.models import Assignment, PlanDue
from reedcrew.people.models import Group, Member
from reedcrew.people.roles import Role
from reedcrew.stands.models import Stand
from reedcrew.trade.items import Item
from reedcrew.trade.month_day import MonthDay
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.browser.axe import DESKTOP, PHONE
from tests.browser.walking import choose, code_in, fill_moment, panel
from tests.invites.readings import PARSERS
from tests.services import MailServer, Received
from tests.worker import Worker

pytestmark = pytest.mark.django_db(transaction=True)

ZONE = ZoneInfo("America/Regina")  # keeps one time all year: the test runs in every hour of every day
TITLE = "Morning at the deep edge"
NEWCOMER, NEWCOMER_MAIL = "Nia Nettle", "nia@example.org"
EXPERIENCED = ("Bo Birch", "Cy Cedar", "Di Dogwood")
ON_LAND = ("Eli Elder", "Fay Fern")
DAY_LENGTH = timedelta(hours=4)

# Who was there, in minutes after the start: Fay went home in between, Di did not come.
STAYS = (
    (NEWCOMER, 0, 100),
    ("Bo Birch", 0, 100),
    ("Cy Cedar", 5, 95),
    ("Eli Elder", 0, 105),
    ("Fay Fern", 10, 70),
    ("Fay Fern", 80, 110),
)
CY_REALLY_LEFT = 110  # what the coordinator corrects afterwards
COUNTED = 1240
BUNDLES, SAMPLE = 12, (200, 210, 220)
BUNDLED = BUNDLES * 210  # stems: bundles times the sample's mean


def test_a_season_goes_round_from_the_posted_day_to_the_funders_file(
    new_page: Callable[..., Page], live_site: str, smtp_server: MailServer, running_worker: Callable[..., Worker]
) -> None:
    now = timezone.now().replace(second=0, microsecond=0)
    group, stand = group_before_the_day(now)
    worker = running_worker(EMAIL_URL=smtp_server.email_url)
    organizer, volunteer, lead, coordinator = (
        new_page(viewport=screen, has_touch=screen is PHONE) for screen in (DESKTOP, PHONE, PHONE, DESKTOP)
    )

    starts_at = now + timedelta(days=1)
    sign_in(organizer, "organizer@example.org", smtp_server)
    shared = post_day(organizer, stand, starts_at)
    day = WorkDay.objects.get(title=TITLE)
    neighbours_sign_up(group, day)

    sign_up(volunteer, shared, smtp_server)
    answer_for_water(volunteer)
    worker.until(lambda: is_planned_in_water(day, NEWCOMER), what="the plan places the newcomer in water")
    worker.until(lambda: not PlanDue.objects.filter(day=day).exists(), what="nothing is left to plan")
    look_at_plan(organizer)
    accept_plan(organizer, volunteer)
    look_at_own_place(volunteer)
    worker.until(lambda: bool(invitations(smtp_server)), what="the invitation arrives")
    check_invitation(invitations(smtp_server)[0], starts_at)

    started_at = let_the_day_come(day, now)
    sign_in(lead, "lead@example.org", smtp_server)
    run_day(lead, live_site + day.get_absolute_url(), started_at)

    sign_in(coordinator, "coordinator@example.org", smtp_server)
    hours, stems = report(coordinator, started_at)
    check_reports(hours, stems, started_at)


# --- What is there before ------------------------------------------------------------------------------------------


def group_before_the_day(now: datetime) -> tuple[Group, Stand]:
    """A group at a site whose permitted weeks hold today, with gear for the people who will sign up."""
    group = factories.make_group(name="Sedge Lake Reed Crew", slug="sedge-lake")
    for role in (Role.ORGANIZER, Role.CREW_LEAD, Role.COORDINATOR):
        address = f"{role.value.removeprefix('crew_')}@example.org"
        factories.make_member(group, role=role, account=factories.make_account(address), name=f"The {role.label}")
    site = factories.make_site(
        group,
        name="Sedge Lake",
        time_zone=ZONE.key,
        window_opens=month_day(now - timedelta(days=60)),
        window_closes=month_day(now + timedelta(days=60)),
        window_authority="Sedge Lake watershed board",
    )
    stand = factories.make_stand(group, site=site, name="North bay")
    factories.make_zone(stand, name="Deep edge", depth_cm=60)
    factories.make_zone(stand, name="Bank", depth_cm=0)
    for item, count, size in (
        (Item.CHEST_WADERS, 1, "40"),
        (Item.CHEST_WADERS, 3, "43"),
        (Item.LIFE_JACKET, 6, "adult"),
        (Item.HAND_SICKLE, 6, ""),
    ):
        factories.make_stock(group, item, count, size=size)
    return group, stand


def month_day(moment: datetime) -> MonthDay:
    return MonthDay(moment.month, min(moment.day, 28))


def neighbours_sign_up(group: Group, day: WorkDay) -> None:
    for name in EXPERIENCED:
        factories.make_sign_up(day, factories.make_water_member(group, name=name))
    for number, name in enumerate(ON_LAND):
        profile = {"first_aid_until": date(2200, 1, 1)} if number == 0 else {}
        factories.make_sign_up(day, factories.make_member(group, name=name, profile=profile), place="land")


def let_the_day_come(day: WorkDay, now: datetime) -> datetime:
    """Move the posted day back until it began two hours ago: the server's clock is the real one. Returns its start."""
    started_at = now - timedelta(hours=2)
    WorkDay.objects.filter(pk=day.pk).update(
        starts_at=started_at, ends_at=started_at + DAY_LENGTH, date=started_at.astimezone(ZONE).date()
    )
    return started_at


# --- The four people -----------------------------------------------------------------------------------------------


def sign_in(page: Page, email: str, server: MailServer) -> None:
    """Sign in as everybody does: with a mailed code. The page may stand on the sign-in form already."""
    if "/accounts/" not in page.url:
        page.goto("/")
        page.get_by_role("link", name="Sign in or start").click()
    page.get_by_label("Email address").fill(email)
    page.get_by_role("button", name="Mail me a code").click()
    enter_mailed_code(page, email, server)


def enter_mailed_code(page: Page, email: str, server: MailServer) -> None:
    page.get_by_label("Code").fill(mailed_code(server, email))
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("link", name="Sign out", include_hidden=True).first).to_be_attached()


def post_day(page: Page, stand: Stand, starts_at: datetime) -> str:
    """Post a day on the stand and give back the address to share."""
    page.get_by_role("link", name="Sedge Lake Reed Crew").first.click()
    page.get_by_role("link", name="Work days").first.click()
    page.get_by_role("link", name="Post a work day").click()
    page.get_by_role("link", name=f"Post a day on {stand.name}").click()
    page.get_by_label("Title").fill(TITLE)
    fill_moment(page, "Start", starts_at, ZONE)
    fill_moment(page, "End", starts_at + DAY_LENGTH, ZONE)
    expect(page.get_by_label("Deep edge")).to_be_checked()
    page.get_by_label("Places in water").fill("4")
    page.get_by_label("What to bring").fill("Water, lunch and a hat.")
    page.get_by_label("Air temperature").fill("24")
    page.get_by_label("Relative humidity").fill("50")
    page.get_by_label("Water temperature").fill("20")
    page.get_by_role("button", name="Post the day").click()
    expect(page.get_by_text("The day is posted. Share its public page.")).to_be_visible()
    return panel(page, "Share this day").get_by_role("link").inner_text()


def sign_up(page: Page, shared: str, server: MailServer) -> None:
    """From the shared address, signed out and unknown, to a place in water."""
    page.goto(shared)
    expect(page.get_by_text("in water: 3 of 4 places taken")).to_be_visible()
    page.get_by_label("Your name").fill(NEWCOMER)
    page.get_by_label("Email address").fill(NEWCOMER_MAIL)
    choose(page, "Your age", "18 or older")
    choose(page, "Where would you like to work?", "in water")
    page.get_by_role("button", name="Sign up").click()
    enter_mailed_code(page, NEWCOMER_MAIL, server)
    expect(page.get_by_text("You have a place. An invitation is on its way to your calendar.")).to_be_visible()


def answer_for_water(page: Page) -> None:
    """Answer what water work asks, from the day's page, which says that answers are missing."""
    page.get_by_role("link", name=f"Answer them in the profile of {NEWCOMER}").click()
    page.get_by_label("English").check()
    page.get_by_label("Willing and able to work in water").check()
    page.get_by_role("button", name="Save the profile").click()
    page.get_by_label("Height").fill("171")
    page.get_by_label("Body mass").select_option("adult")
    page.locator("#id_boot_size").fill("39")
    page.locator("#id_hand_size").fill("8")
    page.get_by_label("Hand is given as").select_option("glove")
    page.get_by_role("button", name="Save the profile").click()
    expect(page.get_by_text("can be planned into water")).to_be_visible()
    page.goto("/")
    card = panel(page, TITLE)
    expect(card).to_contain_text("confirmed")
    card.get_by_role("link", name=TITLE).click()
    expect(page.get_by_text("these answers are missing")).to_have_count(0)


def look_at_plan(page: Page) -> None:
    """The organizer sees the newcomer beside somebody with experience, both with what they need, and what is short."""
    page.get_by_role("navigation", name="Pages of this day").get_by_role("link", name="Plan").click()
    units = page.locator("section.panel").filter(has=page.get_by_role("heading", name=re.compile(r"^Unit \d")))
    expect(units).to_have_count(2)
    with_newcomer = units.filter(has_text=NEWCOMER)
    newcomer = with_newcomer.get_by_role("listitem").filter(has_text=NEWCOMER).first
    for piece in ("chest waders 40", "life jacket adult"):
        expect(newcomer).to_contain_text(piece)
    assert [name for name in EXPERIENCED if with_newcomer.get_by_text(name, exact=True).count()] != []
    shore = page.get_by_role("table", name="People with a role out of the water")
    for words in ("spotter", *ON_LAND):
        expect(shore).to_contain_text(words)
    gear = page.get_by_role("table", name="What the day needs, what people own, what the group has")
    waders = gear.get_by_role("row").filter(has_text="chest waders")
    expect(waders).to_have_count(2)
    expect(waders.filter(has_text="43").get_by_role("cell")).to_have_text(["chest waders 43", "3", "0", "3", "0"])
    expect(panel(page, "Short of gear")).to_contain_text("eye protection")


def accept_plan(organizer: Page, volunteer: Page) -> None:
    """Nobody is told a place before the organizer has accepted the plan."""
    volunteer.goto("/")
    expect(panel(volunteer, NEWCOMER)).to_contain_text("Places are decided by an organizer")
    organizer.get_by_role("button", name="Accept the plan").click()
    expect(organizer.get_by_text("The plan is accepted.")).to_be_visible()


def look_at_own_place(page: Page) -> None:
    """The newcomer reads on the start page where, beside whom and with what."""
    page.goto("/")
    place = panel(page, NEWCOMER)
    expect(place).to_contain_text("Deep edge")
    expect(place).to_contain_text(re.compile("beside (Bo|Cy|Di)"))
    expect(place).to_contain_text("chest waders 40")


def run_day(page: Page, address: str, started_at: datetime) -> None:
    """The crew lead signs people in and out on a phone, records stems and a load, and closes the day."""
    page.goto(address)
    page.get_by_role("navigation", name="Pages of this day").get_by_role("link", name="Fieldbook").click()
    pages = page.get_by_role("navigation", name="Fieldbook")
    expect(stay_form(page, "in", NEWCOMER).locator("[name=in_water]")).to_be_checked()
    expect(stay_form(page, "in", "Eli Elder").locator("[name=in_water]")).not_to_be_checked()
    for name, arrived, left in STAYS:
        enter_stay(page, "in", name, started_at + timedelta(minutes=arrived))
        if name == NEWCOMER:
            ask_to_close_with_somebody_there(page)
        enter_stay(page, "out", name, started_at + timedelta(minutes=left))
    record_stems(page)
    pages.get_by_role("link", name="Loads").click()
    choose(page, "Put away as", "bags in the sun")
    page.get_by_label("How many").fill("6")
    page.get_by_role("textbox", name="Where").fill("South end of the lot")
    page.get_by_role("button", name="Write down").click()
    expect(page.get_by_role("table")).to_contain_text("South end of the lot")
    pages.get_by_role("link", name="Close").click()
    expect(panel(page, "Sums of the day")).to_contain_text("8 h 5 min")
    expect(panel(page, "Sums of the day")).to_contain_text("3,760")
    for tick in ("Gear is counted", "Cleaning is done", "All cut material is placed"):
        page.get_by_label(tick).check()
    page.get_by_role("button", name="Everyone is out: close the day").click()
    expect(page.get_by_text("Its hours and stems are in the ledger.")).to_be_visible()


def stay_form(page: Page, way: str, name: str) -> Locator:
    """The form that signs a person ``in`` or ``out``."""
    button = page.get_by_role("button", name=re.compile(rf"^Sign {way}\b.* {name}$"))
    return page.locator("form").filter(has=button)


def enter_stay(page: Page, way: str, name: str, moment: datetime) -> None:
    """Sign a person in or out at a moment that has passed, on the site's clock."""
    form, local = stay_form(page, way, name), moment.astimezone(ZONE)
    form.locator("summary").click()
    form.get_by_label("Day").fill(f"{local:%Y-%m-%d}")
    form.get_by_label("Time", exact=True).fill(f"{local:%H:%M}")
    form.get_by_role("button").first.click()  # the second one hands out the gear too
    expect(page.get_by_text(f"{name} is signed {way}.")).to_be_visible()


def ask_to_close_with_somebody_there(page: Page) -> None:
    """A day can't be closed while somebody is on site: the page names who."""
    page.get_by_role("navigation", name="Fieldbook").get_by_role("link", name="Close").click()
    expect(panel(page, "Still signed in")).to_contain_text(NEWCOMER)
    expect(page.get_by_role("button", name="close the day")).to_have_count(0)
    page.get_by_role("link", name="Sign them out first").click()


def record_stems(page: Page) -> None:
    """Stems by count, once wrong and struck out, and by bundles with a sample."""
    page.get_by_role("navigation", name="Fieldbook").get_by_role("link", name="Stems").click()
    for stems in (99_999, COUNTED):
        page.get_by_label("Zone").select_option(label="Deep edge")
        page.get_by_label("Stems, if counted").fill(str(stems))
        page.get_by_role("button", name="Write down").click()
        expect(page.get_by_text("The stems are written down.")).to_be_visible()
    page.get_by_role("row").filter(has_text="99,999").get_by_role("link", name="Strike out").click()
    page.get_by_label("Why is it wrong?").fill("a finger slipped")
    page.get_by_role("button", name="Strike out").click()
    page.get_by_label("Zone").select_option(label="Deep edge")
    choose(page, "How counted", "bundles × stems a bundle")
    page.get_by_label("Bundles (optional)", exact=True).fill(str(BUNDLES))
    page.get_by_label("Stems in some of the bundles").fill(", ".join(map(str, SAMPLE)))
    page.get_by_role("button", name="Write down").click()
    expect(page.get_by_text("The stems are written down.")).to_be_visible()
    expect(page.get_by_role("row").filter(has_text="a finger slipped")).to_contain_text("struck out")


def report(page: Page, started_at: datetime) -> tuple[list[dict[str, str]], list[dict[str, str]]]:
    """The coordinator corrects an entry, claims the hours for a grant, and downloads what the funder gets."""
    page.get_by_role("link", name="Sedge Lake Reed Crew").first.click()
    page.get_by_role("link", name="Hours").first.click()
    page.get_by_role("row").get_by_role("link", name="Cy Cedar").click()
    page.get_by_role("link", name="Correct it").click()
    fill_moment(page, "End", started_at + timedelta(minutes=CY_REALLY_LEFT), ZONE)
    page.get_by_label("Why is it corrected?").fill("stayed to clean the waders")
    page.get_by_role("button", name="Enter the correction").click()
    page.get_by_role("link", name="Grants").first.click()
    page.get_by_role("link", name="Record a grant").click()
    page.locator("#id_name").fill("Shore fund")
    page.locator("#id_funder").fill("Sedge Lake trust")
    page.locator("#id_starts_on").fill((started_at - timedelta(days=9)).date().isoformat())
    page.locator("#id_ends_on").fill((started_at + timedelta(days=9)).date().isoformat())
    for tick in ("North bay", "field work", "cutting in water", "work on land"):
        page.get_by_label(tick, exact=True).check()
    page.get_by_role("button", name="Save the grant").click()
    expect(panel(page, "Not claimed by any grant")).to_contain_text(f"{len(STAYS)} entries")
    page.get_by_role("button", name="Count them toward this grant").click()
    sums = panel(page, "What counts toward it")
    expect(sums).to_contain_text("8 h 20 min")
    expect(sums).to_contain_text("3,760")
    return rows_of(page, "Hours as CSV"), rows_of(page, "Stems as CSV")


# --- What must have come of it -------------------------------------------------------------------------------------


def mailed_to(server: MailServer, address: str) -> list[Received]:
    return [mail for mail in server.received if mail.recipients == (address,)]


def mailed_code(server: MailServer, email: str) -> str:
    """The code in the one mail that came before the page that asks for it was shown."""
    body = mailed_to(server, email)[0].parsed().get_body(("plain",))
    assert body is not None
    return code_in(body.get_content())


def invitations(server: MailServer) -> list[bytes]:
    """The calendar parts of the mails to the newcomer."""
    parts = [part for mail in mailed_to(server, NEWCOMER_MAIL) for part in mail.parsed().walk()]
    calendars = [part for part in parts if part.get_content_type() == "text/calendar"]
    return [bytes(part.get_payload(decode=True)) for part in calendars]


def check_invitation(calendar: bytes, starts_at: datetime) -> None:
    """Two independent parsers read the posted day out of the calendar part."""
    assert b"METHOD:REQUEST" in calendar
    for parse in PARSERS.values():
        (event,) = parse(calendar)
        assert (event.start, event.end) == (starts_at.astimezone(UTC), (starts_at + DAY_LENGTH).astimezone(UTC))
        assert event.attendees == (f"mailto:{NEWCOMER_MAIL}",)
        assert TITLE in event.summary


def is_planned_in_water(day: WorkDay, name: str) -> bool:
    units = Assignment.objects.in_water().filter(plan__day=day, plan__current=True)
    return units.filter(sign_up__member__name=name).exists()


def rows_of(page: Page, link: str) -> list[dict[str, str]]:
    """The rows of the file behind a link."""
    with page.expect_download() as download:
        page.get_by_role("link", name=link).click()
    with Path(download.value.path()).open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def check_reports(hours: list[dict[str, str]], stems: list[dict[str, str]], started_at: datetime) -> None:
    """The files hold what was entered on the pages, with the correction and without what was struck out."""
    entered = {(name, arrived): left - arrived for name, arrived, left in STAYS}
    entered["Cy Cedar", 5] = CY_REALLY_LEFT - 5
    names = {member.code: member.name for member in Member.objects.all()}
    in_file = {(names[row["person"]], minutes_after(row["start"], started_at)): int(row["minutes"]) for row in hours}
    assert in_file == entered
    assert sum(int(row["minutes"]) for row in hours) == sum(entered.values()) == 8 * 60 + 20
    assert sum(Decimal(row["hours"]) for row in hours) == sum(
        (Decimal(minutes) / 60).quantize(Decimal("0.01")) for minutes in entered.values()
    )
    assert [row["reason"] for row in hours if row["corrects"]] == ["stayed to clean the waders"]
    assert {(row["grant"], row["date"]) for row in hours} == {
        ("Shore fund", started_at.astimezone(ZONE).date().isoformat())
    }
    assert sorted(int(row["stems"]) for row in stems) == [COUNTED, BUNDLED]
    (bundled,) = (row for row in stems if row["bundles"])
    assert (bundled["bundles"], bundled["stems in sampled bundles"]) == (str(BUNDLES), "200 210 220")
    assert int(bundled["lower 95 %"]) <= BUNDLED <= int(bundled["upper 95 %"])


def minutes_after(written: str, started_at: datetime) -> int:
    return int((datetime.fromisoformat(written) - started_at) / timedelta(minutes=1))
