"""Both ways by mail: a place taken in the browser, given up in a calendar, and taken by the next from the mail's link.

Real servers take part: SMTP out, SMTP into the mailbox, IMAP out of it, and Chromium.
"""

import re
import smtplib
from collections.abc import Callable
from datetime import timedelta
from email.message import EmailMessage

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.invites import outbox, poller
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.browser.axe import PHONE
from tests.browser.test_season_loop import enter_mailed_code
from tests.browser.walking import choose
from tests.invites.test_poller import SERVICE, answer_to
from tests.services import LOOPBACK, Mailbox, MailServer, Received

pytestmark = pytest.mark.django_db(transaction=True)

NEWCOMER, ADDRESS = "Nia Nettle", "nia@example.org"
NEXT = "Bo Birch"


def test_a_place_given_up_in_the_calendar_goes_to_who_takes_it_by_the_link_of_the_mail(
    new_page: Callable[..., Page],
    sign_in: Callable[..., None],
    assert_accessible: Callable[[Page], None],
    smtp_server: MailServer,
    imap_mailbox: Mailbox,
) -> None:
    day = day_with_one_place()
    phone = new_page(viewport=PHONE, has_touch=True)
    sign_up(phone, day, smtp_server)
    waiting = next_waits(day)
    (invite,) = calendar_mails(smtp_server, ADDRESS)

    smtp_server.mailbox = imap_mailbox
    with smtplib.SMTP(LOOPBACK, smtp_server.port) as client:
        client.sendmail(ADDRESS, [SERVICE], answer_to(invite.raw, "DECLINED"))
    smtp_server.mailbox = None
    assert poller.read_mailbox(timezone.now()) == 1

    organizer = new_page()
    sign_in(organizer, factories.make_member(day.group, role=Role.ORGANIZER).account)
    organizer.goto(f"/g/{day.group.slug}/days/{day.pk}/roster/")
    expect(organizer.get_by_role("row").filter(has_text=NEXT)).to_contain_text("asked to take a place")
    expect(organizer.get_by_role("row").filter(has_text=NEWCOMER)).to_have_count(0)
    organizer.goto(f"/g/{day.group.slug}/inbox/")
    expect(organizer.get_by_text("the sign-up follows the answer")).to_be_visible()

    (offer,) = [
        mail for mail in calendar_mails(smtp_server, waiting.member.account.email) if "/answers/" in text_of(mail)
    ]
    asked = new_page(viewport=PHONE, has_touch=True)
    asked.goto(link_in(offer))
    expect(asked.get_by_role("heading", name="A place is free for you")).to_be_visible()
    assert_accessible(asked)
    waiting.refresh_from_db()
    assert waiting.state == SignUp.State.OFFERED  # a look takes nothing
    asked.get_by_role("button", name="I come: take the place").click()
    expect(asked.get_by_text(f"{NEXT}: confirmed")).to_be_visible()
    organizer.goto(f"/g/{day.group.slug}/days/{day.pk}/roster/")
    expect(organizer.get_by_role("row").filter(has_text=NEXT)).to_contain_text("confirmed")


def day_with_one_place() -> WorkDay:
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand, depth_cm=0)
    starts_at = timezone.now() + timedelta(days=20)
    return factories.make_day(
        stand, starts_at=starts_at, ends_at=starts_at + timedelta(hours=4), date=starts_at.date(), land_places=1
    )


def sign_up(page: Page, day: WorkDay, server: MailServer) -> None:
    """From the shared address, unknown, to the only place on land."""
    page.goto(day.get_public_url())
    page.get_by_label("Your name").fill(NEWCOMER)
    page.get_by_label("Email address").fill(ADDRESS)
    choose(page, "Your age", "18 or older")
    choose(page, "Where would you like to work?", "on land")
    page.get_by_role("button", name="Sign up").click()
    enter_mailed_code(page, ADDRESS, server)
    expect(page.get_by_text("You have a place. An invitation is on its way to your calendar.")).to_be_visible()


def next_waits(day: WorkDay) -> SignUp:
    member = factories.make_member(day.group, name=NEXT)
    made = workdays.sign_up(day=day, member=member, place="land", actor=member.account, now=timezone.now())
    assert made.sign_up.state == SignUp.State.WAITING
    return made.sign_up


def calendar_mails(server: MailServer, address: str) -> list[Received]:
    """What arrives at an address besides sign-in codes, once all that waits is sent; the morning, too."""
    for mail in OutgoingMail.objects.filter(state=OutgoingMail.State.WAITING):
        outbox.deliver(mail_pk=mail.pk, now=mail.next_try_at)
    return [mail for mail in server.received if mail.recipients == (address,) and b"text/calendar" in mail.raw]


def text_of(mail: Received) -> str:
    body = mail.parsed().get_body(("plain",))
    assert isinstance(body, EmailMessage)
    return str(body.get_content())


def link_in(mail: Received) -> str:
    found = re.search(r"https?://\S+/answers/\S+", text_of(mail))
    assert found is not None
    return found.group(0)
