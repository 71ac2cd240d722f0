"""A day in the field in real Chromium with the line to the server cut: nothing is lost, nobody is forgotten."""

import datetime
import signal
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from pathlib import Path

import psutil
import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Error, Page, expect

from reedcrew.fieldbook.models import (
    Attendance,
    BriefingHeard,
    DayPhoto,
    HeadCheck,
    Load,
    Submission,
    Tally,
    WaterStint,
)
from reedcrew.people.models import Group, Member
from reedcrew.people.roles import Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.browser.axe import PHONE
from tests.browser.cable import Cable
from tests.browser.conftest import CHROMIUM, QUIET

# What the server makes of entries is tested on both databases elsewhere.
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def lead(group: Group) -> Member:
    return factories.make_member(group, role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def cables(live_site: str) -> Iterator[tuple[Cable, Cable]]:
    with ExitStack() as stack:
        yield stack.enter_context(Cable(live_site)), stack.enter_context(Cable(live_site))


def make_day(group: Group, *names: str, title: str = "Morning at the reed") -> WorkDay:
    """A day under way, with a zone of water and these people on its roster."""
    stand = factories.make_stand(group)
    factories.make_zone(stand, name="Deep edge")
    start = timezone.now() - HOUR
    day = factories.make_day(stand, title=title, starts_at=start, ends_at=start + 4 * HOUR, date=start.date())
    for name in names:
        member = group.members.filter(name=name).first() or factories.make_water_member(group, name=name)
        factories.make_sign_up(day, member)
    return day


def open_at_home(page: Page, cable: Cable, day: WorkDay) -> None:
    """Open the day with a network, until the phone can do without one."""
    page.goto(f"{cable.url}/g/{day.group.slug}/days/{day.pk}/field/")
    expect(page.get_by_role("heading", level=1)).to_have_text(day.title)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")


def turn_to(page: Page, screen: str) -> None:
    page.evaluate("name => { location.hash = name; }", screen)
    expect(page.locator(f"[data-screen={screen}]")).to_be_visible()


def sign_in_people(page: Page, *names: str) -> None:
    turn_to(page, "people")
    for name in names:
        page.get_by_role("button", name=f"Sign in {name}").click()
        expect(page.locator("#said")).to_have_text(f"Saved on this phone: {name} is signed in.")


def brief(page: Page) -> None:
    turn_to(page, "briefing")
    for tick in page.locator("#briefing-list input").all():
        tick.check()
    page.get_by_role("button", name="They heard the briefing").click()
    expect(page.locator("#said")).to_have_text("Saved on this phone: They heard the briefing.")


def go_in(page: Page, *names: str) -> None:
    turn_to(page, "water")
    others = page.locator("details", has_text="Others go in together")
    if others.get_attribute("open") is None:
        others.locator("summary").click()
    for name in names:
        others.get_by_label(name).check()
    others.get_by_role("button", name="They go in").click()


def count_stems(page: Page, tens: int) -> None:
    turn_to(page, "stems")
    for _press in range(tens):
        page.get_by_role("button", name="ten more").click()
    page.get_by_role("button", name=f"Write down {tens * 10} stems").click()
    expect(page.locator("#said")).to_have_text(f"Saved on this phone: {tens * 10} stems")


def write_load(page: Page, place: str) -> None:
    turn_to(page, "loads")
    page.get_by_label("How many").fill("3")
    page.get_by_label("Where").fill(place)
    page.get_by_role("button", name="Write down the load").click()
    expect(page.locator("#said")).to_contain_text("The load is written down.")


def send(page: Page) -> None:
    turn_to(page, "entries")
    page.get_by_role("button", name="Send now").click()
    # A token, the entries and a photo, one request after another: a busy machine needs longer than for one page.
    expect(page.locator("#sent")).to_contain_text("Nothing waits on this phone", timeout=20_000)


def union_of(day: WorkDay) -> dict[str, object]:
    """What the server holds of a day, without ids and times."""
    stays = Attendance.objects.standing().filter(day=day)
    return {
        "here": sorted(stays.values_list("member__name", flat=True)),
        "heard": sorted(set(BriefingHeard.objects.filter(day=day).values_list("member__name", flat=True))),
        "in water": sorted(WaterStint.objects.in_water().filter(day=day).values_list("member__name", flat=True)),
        "stems": sorted(Tally.objects.standing().filter(day=day).values_list("stems", flat=True)),
        "loads": sorted(Load.objects.standing().filter(day=day).values_list("place", flat=True)),
        "to look at": sorted(Submission.objects.filter(day=day).exclude(outcome="taken").values_list("kind", "code")),
    }


def test_two_phones_record_one_day_without_a_network_and_the_server_holds_the_union_in_either_order(
    new_page: Callable[..., Page],
    sign_in: Callable[..., None],
    cables: tuple[Cable, Cable],
    group: Group,
    lead: Member,
    assert_accessible: Callable[[Page], None],
) -> None:
    phones = [new_page(viewport=PHONE, has_touch=True) for _cable in cables]
    for phone in phones:
        sign_in(phone, lead.account)
    found = []
    for first in (0, 1):
        day = make_day(group, "Ada Holm", "Bram Ost", "Cleo Vane", title=f"Morning {first}")
        for phone, cable in zip(phones, cables, strict=True):
            open_at_home(phone, cable, day)
            cable.cut()
        one, other = phones
        one.reload()  # the shell and the day come from the phone
        expect(one.get_by_role("heading", level=1)).to_have_text(day.title)
        sign_in_people(one, "Ada Holm", "Bram Ost", "Cleo Vane")
        brief(one)
        go_in(one, "Ada Holm", "Bram Ost")
        expect(one.locator("#said")).to_have_text("Saved on this phone: In water: Ada Holm, Bram Ost")
        count_stems(one, 3)
        sign_in_people(other, "Cleo Vane")
        count_stems(other, 2)
        write_load(other, "Behind the barn")
        expect(one.locator("#sent")).to_have_text(
            "6 saved on this phone, not yet sent; none has reached the server yet."
        )
        for phone, cable in sorted(zip(phones, cables, strict=True), key=lambda each: each[1] is not cables[first]):
            cable.mend()
            send(phone)
        cables[0].mend()
        one.reload()
        found.append(union_of(day))
        turn_to(other, "water")
        other.reload()
        expect(other.locator("#in-water .name")).to_have_text(["Ada Holm", "Bram Ost"])
        expect(other.locator("#wants")).to_have_text("Somebody must look at entries: 1")
    assert (
        found[0]
        == found[1]
        == {
            "here": ["Ada Holm", "Bram Ost", "Cleo Vane"],
            "heard": ["Ada Holm", "Bram Ost", "Cleo Vane"],
            "in water": ["Ada Holm", "Bram Ost"],
            "stems": [20, 30],
            "loads": ["Behind the barn"],
            "to look at": [("sign_in", "signed_in_twice")],
        }
    )


def make_picture(path: Path) -> Path:
    Image.new("RGB", (1200, 800), "#3a6b35").save(path)
    return path


def run_browser(browser: Browser, folder: Path, cable: Cable) -> tuple[BrowserContext, psutil.Process]:
    """A Chromium of its own that keeps its data in the folder, and its first process."""
    context = browser.browser_type.launch_persistent_context(
        folder, executable_path=CHROMIUM, args=QUIET, base_url=cable.url, viewport=PHONE, locale="en-GB"
    )
    own = f"--user-data-dir={folder}"
    (process,) = (
        each
        for each in psutil.Process().children(recursive=True)
        if own in (line := each.cmdline()) and not any(part.startswith("--type=") for part in line)
    )
    return context, process


def kill(process: psutil.Process) -> None:
    """As when a phone's battery falls out: no process of the browser gets to write anything any more."""
    every = [*process.children(recursive=True), process]
    for each in every:
        with suppress(psutil.NoSuchProcess):
            each.send_signal(signal.SIGKILL)
    psutil.wait_procs(every, timeout=30)


def kept_days(page: Page) -> int:
    """How many days this browser keeps."""
    kept = page.evaluate(
        """() => new Promise((resolve, reject) => {
          const asked = indexedDB.open("reedcrew-fieldbook");
          asked.onerror = () => reject(asked.error);
          asked.onsuccess = () => {
            const counted = asked.result.transaction("days").objectStore("days").count();
            counted.onsuccess = () => resolve(counted.result);
          };
        })"""
    )
    return int(kept)


def test_a_killed_browser_has_everything_that_its_screen_called_saved(
    browser: Browser,
    live_site: str,
    sign_in: Callable[..., None],
    group: Group,
    lead: Member,
    tmp_path: Path,
) -> None:
    day = make_day(group, "Ada Holm", "Bram Ost")
    with Cable(live_site) as cable:
        context, process = run_browser(browser, tmp_path, cable)
        page = context.new_page()
        sign_in(page, lead.account)
        open_at_home(page, cable, day)
        cable.cut()
        sign_in_people(page, "Ada Holm")
        write_load(page, "At the gate")
        turn_to(page, "photos")
        page.get_by_label("after the work").check()
        page.get_by_label("Photo", exact=True).set_input_files(make_picture(tmp_path / "reed.png"))
        page.get_by_role("button", name="Keep the photo").click()
        expect(page.locator("#said")).to_have_text("Saved on this phone: The photo.")
        turn_to(page, "stems")
        page.get_by_role("button", name="ten more").click()
        expect(page.locator("output")).to_have_text("10")
        kill(process)
        with suppress(Error):
            context.close()

        context, _process = run_browser(browser, tmp_path, cable)
        page = context.new_page()
        page.goto(f"/g/{group.slug}/days/{day.pk}/field/#stems")  # the server is still out of reach
        expect(page.locator("#sent")).to_contain_text("3 saved on this phone, not yet sent")
        expect(page.locator("output")).to_have_text("10")
        page.goto("about:blank")
        cable.mend()
        sign_in(page, lead.account)  # a session cookie does not outlive the browser
        page.goto("/accounts/logout/")
        # Two entries, a photo, and stems that were counted and not written down.
        expect(page.get_by_text("Entries wait on this phone: 4.")).to_be_visible()
        page.get_by_role("button", name="Sign out").click()
        page.wait_for_url(f"{cable.url}/")
        page.goto(f"/g/{group.slug}/days/{day.pk}/field/")
        expect(page.locator("#trouble")).to_contain_text("You are signed out, so nothing can be sent.")
        sign_in(page, lead.account)
        turn_to(page, "stems")
        page.get_by_role("button", name="Write down 10 stems").click()
        send(page)
        page.goto("/accounts/logout/")
        page.get_by_role("button", name="Sign out").click()
        page.wait_for_url(f"{cable.url}/")
        assert kept_days(page) == 0
        context.close()
    assert Attendance.objects.get().member.name == "Ada Holm"
    assert Load.objects.get().place == "At the gate"
    assert DayPhoto.objects.get().kind == DayPhoto.Kind.AFTER
    assert Tally.objects.get().stems == 10


def test_the_headcount_calls_offline_and_the_day_closes_only_when_all_are_out(
    new_page: Callable[..., Page],
    sign_in: Callable[..., None],
    cables: tuple[Cable, Cable],
    group: Group,
    lead: Member,
    assert_accessible: Callable[[Page], None],
) -> None:
    """The interval is that of the policy, 20 minutes unless the group says otherwise."""
    cable, _other = cables
    factories.make_child(factories.make_water_member(group, name="Nia Reed"), name="Kim Reed")
    day = make_day(group, "Ada Holm", "Bram Ost", "Nia Reed", "Kim Reed")
    phone = new_page(viewport=PHONE, has_touch=True)
    sign_in(phone, lead.account)
    phone.clock.install()
    open_at_home(phone, cable, day)
    cable.cut()
    turn_to(phone, "people")
    phone.get_by_role("button", name="Sign in Kim Reed").click()
    expect(phone.locator("#refused")).to_have_text("Kim Reed is under 18: sign in their guardian first.")
    sign_in_people(phone, "Ada Holm", "Bram Ost", "Nia Reed", "Kim Reed")
    go_in(phone, "Ada Holm", "Bram Ost")
    expect(phone.locator("#refused")).to_contain_text("Has not heard the briefing: Ada Holm")
    brief(phone)
    turn_to(phone, "water")
    phone.locator("details", has_text="Others go in together").get_by_label("Bram Ost").uncheck()
    go_in(phone, "Ada Holm")
    expect(phone.locator("#refused")).to_have_text("A unit is two people, or three: nobody goes into water alone.")
    go_in(phone, "Ada Holm", "Bram Ost")
    expect(phone.get_by_text("Next headcount in 20:00")).to_be_visible()
    show_every_screen(phone)
    assert_accessible(phone)

    phone.clock.fast_forward("20:01")
    alarm = phone.get_by_role("alertdialog")
    expect(alarm).to_contain_text("Count the people in water now: 2 should be there")
    phone.reload()  # the alarm follows from what is kept
    expect(alarm).to_be_visible()
    assert_accessible(phone)
    alarm.get_by_label("I see another number").fill("1")
    alarm.get_by_role("button", name="Write down").click()
    expect(alarm).to_contain_text("1 seen, 2 in water by the list.")
    alarm.get_by_role("button", name="I see 2: all are there").click()
    expect(alarm).to_be_hidden()

    turn_to(phone, "close")
    expect(phone.locator("#missing")).to_contain_text("In water still")
    expect(phone.get_by_role("link", name="Close the day")).to_be_hidden()
    turn_to(phone, "people")
    phone.get_by_role("button", name="Sign out Ada Holm").click()
    expect(phone.locator("#refused")).to_contain_text("Counted in water: Ada Holm.")
    turn_to(phone, "water")
    phone.get_by_role("button", name="All out?").click()
    phone.get_by_label("I counted").fill("2")
    phone.get_by_role("button", name="Write down the count").click()
    expect(phone.locator("#in-water li")).to_have_count(0)
    turn_to(phone, "people")
    for name in ("Kim Reed", "Nia Reed", "Ada Holm", "Bram Ost"):
        phone.get_by_role("button", name=f"Sign out {name}").click()
        expect(phone.locator("#said")).to_contain_text(f"{name} is signed out.")
    cable.mend()
    send(phone)
    turn_to(phone, "close")
    phone.get_by_role("link", name="Close the day").last.click()
    for asked in phone.get_by_role("checkbox").all():
        asked.check()
    phone.get_by_role("button", name="Everyone is out: close the day").click()
    expect(phone.get_by_text("The day is closed.").first).to_be_visible()
    assert [(check.seen, check.expected, check.all_out) for check in HeadCheck.objects.all()] == [
        (1, 2, False),
        (2, 2, False),
        (2, 2, True),
    ]


def show_every_screen(page: Page) -> None:
    """All screens at once with their folded parts open, so that they are looked at together."""
    page.evaluate(
        """() => {
          for (const screen of document.querySelectorAll("[data-screen]")) { screen.hidden = false; }
          for (const part of document.querySelectorAll("[data-screen] details")) { part.open = true; }
        }"""
    )
