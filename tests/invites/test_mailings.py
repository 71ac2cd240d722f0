"""Reminders, messages and thanks: when, to whom, with what; case 38 of the invites (RFC 2369, RFC 8058)."""

import datetime
import email
import re
import uuid
from email import policy

import pytest
import time_machine

from reedcrew.fieldbook import services as fieldbook
from reedcrew.invites import choices, mailings
from reedcrew.invites.addresses import note_fault
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.errors import TooManyMessages
from reedcrew.invites.models import MailChoice, OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)
DAY = datetime.timedelta(days=1)
WEEK_BEFORE = datetime.datetime(2026, 8, 8, 14, 0, tzinfo=datetime.UTC)  # 10:00 in Toronto, seven days before
EVENING_BEFORE = datetime.datetime(2026, 8, 14, 22, 0, tzinfo=datetime.UTC)  # 18:00 in Toronto
EARLY = WEEK_BEFORE - DAY
Kind = MailChoice.Kind


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=2, land_places=2, what_to_bring="Sun hat")


def sign_up(day, member, place="water"):
    return workdays.sign_up(day=day, member=member, place=place, actor=member.account, now=EARLY).sign_up


def sweep(now) -> None:
    for pk, kind in mailings.due(now):
        mailings.write_mailing(day_pk=pk, kind=kind, now=now)


def mails(kind, **about) -> list[OutgoingMail]:
    return list(OutgoingMail.objects.filter(kind=kind, **about).order_by("pk"))


def parsed(mail: OutgoingMail):
    return email.message_from_bytes(bytes_of(mail), policy=policy.default)


def words(mail: OutgoingMail) -> str:
    body = parsed(mail).get_body(("plain",))
    assert body is not None
    return str(body.get_content())


def test_a_reminder_goes_a_week_and_an_evening_before_once_each(group, day):
    first, second, waiting = (sign_up(day, factories.make_member(group)) for _ in range(3))
    for now in (WEEK_BEFORE - HOUR, WEEK_BEFORE, WEEK_BEFORE + HOUR, EVENING_BEFORE, EVENING_BEFORE + HOUR):
        sweep(now)
    reminders = mails(OutgoingMail.Kind.REMINDER)
    assert [mail.created_at for mail in reminders] == [WEEK_BEFORE] * 2 + [EVENING_BEFORE] * 2
    assert {mail.sign_up for mail in reminders} == {first, second}
    assert waiting not in {mail.sign_up for mail in reminders}
    assert "Sun hat" in words(reminders[0])
    assert "life jacket" in words(reminders[0])


def test_reminders_follow_a_day_that_moves(group, day, organizer):
    sign_up(day, factories.make_member(group))
    facts = workdays.DayFacts(
        title=day.title,
        starts_at=day.starts_at + DAY,
        ends_at=day.ends_at + DAY,
        zones=list(day.zones.all()),
        water_places=2,
        land_places=2,
    )
    workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=EARLY)
    assert mailings.due(WEEK_BEFORE) == []
    assert mailings.due(WEEK_BEFORE + DAY) == [(day.pk, Kind.WEEK_BEFORE)]


def test_a_day_posted_late_has_no_first_reminder_and_nobody_is_reminded_on_the_way(day):
    assert mailings.due(WEEK_BEFORE + 3 * DAY) == []
    assert mailings.due(START - HOUR) == []


def test_a_cancelled_day_reminds_nobody(group, day, organizer):
    sign_up(day, factories.make_member(group))
    workdays.cancel_day(day=day, reason="High water", actor=organizer, now=EARLY)
    assert mailings.due(EVENING_BEFORE) == []
    mailings.write_mailing(day_pk=day.pk, kind=Kind.EVENING_BEFORE, now=EVENING_BEFORE)
    assert mails(OutgoingMail.Kind.REMINDER) == []


def test_a_reminder_can_be_turned_off_with_one_press_and_an_invitation_cannot(group, day, client):
    """38: both headers; a look changes nothing; a press without a cookie does, twice as well."""
    member = factories.make_member(group)
    sign_up(day, member)
    sweep(WEEK_BEFORE)
    (reminder,) = mails(OutgoingMail.Kind.REMINDER)
    headers = parsed(reminder)
    assert headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    link = re.sub(r"^https?://[^/]+", "", headers["List-Unsubscribe"].strip("<>"))
    assert client.get(link).status_code == 200
    assert choices.wanted_by(member.account)[Kind.WEEK_BEFORE]
    for _ in range(2):
        assert client.post(link, {"List-Unsubscribe": "One-Click"}).status_code == 200
    assert choices.wanted_by(member.account) == {**dict.fromkeys(Kind, True), Kind.WEEK_BEFORE: False}
    client.post(link, {"wanted": "yes"})
    assert choices.wanted_by(member.account) == dict.fromkeys(Kind, True)
    client.post(link)
    sweep(EVENING_BEFORE)
    assert len(mails(OutgoingMail.Kind.REMINDER)) == 2
    (invite,) = mails(OutgoingMail.Kind.INVITE)
    assert parsed(invite)["List-Unsubscribe"] is None
    assert client.post("/unsubscribe/forged/").status_code == 404


def test_who_turned_a_kind_off_is_left_out_and_can_turn_it_on_again(group, day, client):
    member = factories.make_member(group)
    sign_up(day, member)
    client.force_login(member.account)
    client.post("/me/mail/choose/", {"mail": "week before", "wanted": "no"})
    sweep(WEEK_BEFORE)
    assert mails(OutgoingMail.Kind.REMINDER) == []
    client.post("/me/mail/choose/", {"mail": "evening before", "wanted": "yes"})
    sweep(EVENING_BEFORE)
    assert len(mails(OutgoingMail.Kind.REMINDER)) == 1
    assert client.post("/me/mail/choose/", {"mail": "invitations", "wanted": "no"}).status_code == 404


def test_a_marked_address_gets_no_reminder_and_a_cancellation_all_the_same(group, day, organizer):
    """36."""
    member = factories.make_member(group)
    sign_up(day, member)
    note_fault(address=member.account.email, status="5.1.1", reason="", now=EARLY)
    sweep(WEEK_BEFORE)
    assert mails(OutgoingMail.Kind.REMINDER) == []
    workdays.cancel_day(day=day, reason="High water", actor=organizer, now=NOW)
    assert len(mails(OutgoingMail.Kind.CANCEL)) == 1


def test_the_forecast_s_cautions_stand_in_the_reminder(group, day):
    day.forecast_temp_c, day.forecast_rh_percent, day.forecast_water_temp_c = 36, 70, 8
    day.save()
    sign_up(day, factories.make_member(group))
    sweep(EVENING_BEFORE)
    (reminder,) = mails(OutgoingMail.Kind.REMINDER)
    assert "The forecast asks to mind" in words(reminder)


def write(day, actor, *, now=NOW, submission=None, **changes):
    values = {"subject": "New path", "words": "Come by the east gate.", "about_safety": False, "to_waiting": False}
    return mailings.write_to_roster(
        day=day, actor=actor, now=now, submission=submission or uuid.uuid4(), **{**values, **changes}
    )


def test_a_group_writes_so_many_messages_a_day_and_about_safety_always(group, day, organizer):
    sign_up(day, factories.make_member(group))
    for _ in range(mailings.MESSAGES_A_DAY):
        write(day, organizer)
    with pytest.raises(TooManyMessages):
        write(day, organizer)
    assert write(day, organizer, about_safety=True).people == 1
    assert write(day, organizer, now=NOW + datetime.timedelta(days=1)).people == 1


def test_a_message_goes_once_to_everyone_with_a_place_who_wants_messages(group, day, organizer):
    first, second, waiting = (sign_up(day, factories.make_member(group)) for _ in range(3))
    choices.choose(account=second.member.account, kind=Kind.MESSAGE, wanted=False, now=NOW)
    submission = uuid.uuid4()
    for _ in range(2):
        assert write(day, organizer, submission=submission).people == 1
    (mail,) = mails(OutgoingMail.Kind.MESSAGE)
    assert mail.sign_up == first
    assert "Come by the east gate." in words(mail)
    assert write(day, organizer, to_waiting=True).people == 2
    assert mails(OutgoingMail.Kind.MESSAGE, sign_up=waiting)


def test_what_is_about_safety_goes_to_everybody_at_any_hour(group, day, organizer):
    member = factories.make_member(group)
    sign_up(day, member)
    choices.choose(account=member.account, kind=Kind.MESSAGE, wanted=False, now=NOW)
    night = datetime.datetime(2026, 8, 12, 6, 0, tzinfo=datetime.UTC)  # 02:00 in Toronto
    write(day, organizer, now=night, about_safety=True)
    (mail,) = mails(OutgoingMail.Kind.MESSAGE)
    assert mail.next_try_at == night
    assert parsed(mail)["List-Unsubscribe"] is None


def test_other_messages_wait_for_the_morning(group, day, organizer):
    sign_up(day, factories.make_member(group))
    write(day, organizer, now=datetime.datetime(2026, 8, 12, 6, 0, tzinfo=datetime.UTC))
    (mail,) = mails(OutgoingMail.Kind.MESSAGE)
    assert mail.next_try_at == datetime.datetime(2026, 8, 12, 11, 0, tzinfo=datetime.UTC)


def test_a_message_is_written_on_a_page_of_organizers(group, day, organizer, client):
    member = factories.make_member(group)
    sign_up(day, member)
    address = f"/g/{group.slug}/days/{day.pk}/write/"
    client.force_login(member.account)
    assert client.get(address).status_code == 403
    client.force_login(organizer)
    with time_machine.travel(NOW, tick=False):
        page = client.post(address, {"subject": "", "words": "East gate", "submission": str(uuid.uuid4())})
        assert "East gate" in page.content.decode()  # nothing entered is lost
        assert mails(OutgoingMail.Kind.MESSAGE) == []
        said = {"subject": "Path", "words": "East gate", "submission": str(uuid.uuid4())}
        seen = client.post(address, {**said, "preview": "1"}).context["mark"]
        client.post(address, {**said, "looked_at": seen})
    assert len(mails(OutgoingMail.Kind.MESSAGE)) == 1


def test_thanks_go_on_the_next_morning_with_own_hours_and_everybody_s_stems(group, day):
    lead = factories.make_member(group, role=Role.CREW_LEAD)
    came, stayed_home = (sign_up(day, factories.make_member(group)) for _ in range(2))
    actor = lead.account
    stay = fieldbook.sign_in(day=day, member=came.member, in_water=True, at=START, actor=actor, now=START)
    fieldbook.tally_counted(day=day, zone=day.zones.get(), stems=1234, unit_number=None, actor=actor, now=START + HOUR)
    fieldbook.sign_out(attendance=stay, at=START + 3 * HOUR, actor=actor, now=START + 3 * HOUR)
    fieldbook.close(day=day, actor=actor, now=START + 4 * HOUR)
    morning = datetime.datetime(2026, 8, 16, 14, 0, tzinfo=datetime.UTC)  # 10:00 in Toronto
    sweep(morning - HOUR)
    assert mails(OutgoingMail.Kind.THANKS) == []
    for _ in range(2):
        sweep(morning)
    (thanks,) = mails(OutgoingMail.Kind.THANKS)
    assert thanks.sign_up == came
    assert stayed_home.pk != came.pk
    assert "3 h" in words(thanks)
    assert "1,234" in words(thanks)
    assert parsed(thanks)["List-Unsubscribe"] is not None
