"""A group in which every page has something to show: people of every role, a day under way, a closed one, a grant."""

import datetime
import io
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.mail import EmailMessage
from PIL import ExifTags, Image

from reedcrew.api import services
from reedcrew.api.models import Delivery, Event, Webhook
from reedcrew.api.scopes import Scope
from reedcrew.crews.gear import services as gear
from reedcrew.crews.gear.queries import gear_sheet
from reedcrew.crews.services import make_plan
from reedcrew.fieldbook import services as fieldbook
from reedcrew.fieldbook.models import Attendance, Load, PhoneOfDay, Submission, WaterStint
from reedcrew.grants import services as grants
from reedcrew.grants.models import Grant, HourEntry, Licence
from reedcrew.invites.answer_links import Purpose, answer_url
from reedcrew.invites.choices import unsubscribe_url
from reedcrew.invites.incoming import take_in
from reedcrew.invites.models import CalendarEntry, MailChoice, OutgoingMail
from reedcrew.operation.services import keep_operator
from reedcrew.people.models import Account, Group, Member, Wish
from reedcrew.people.policy import change_policy
from reedcrew.people.roles import Role
from reedcrew.people.services import look_at_private, make_wish
from reedcrew.stands import services as stands
from reedcrew.stands.models import Gauge, Site, SiteNotice, Stand, Zone
from reedcrew.stock import services as stock
from reedcrew.stock.models import GearSet, Kind, Loan, StockLine
from reedcrew.trade.blurring import Blurring
from reedcrew.trade.briefing import Item as BriefingItem
from reedcrew.trade.identification import Identification
from reedcrew.trade.items import Item
from reedcrew.trade.reasons import reason
from reedcrew.trade.season import MonthDay
from reedcrew.web import mailfolder
from reedcrew.web.photos import Photo, read_photo
from reedcrew.workdays import services as workdays
from reedcrew.workdays.marks import mark_day, see_mark
from reedcrew.workdays.models import DayMark, SignUp, WorkDay
from tests import factories
from tests.api.rows import make_token, make_webhook
from tests.browser.ledger_rows import LedgerRows, add_ledger_rows
from tests.factories import account_of
from tests.invites.mails import calendar_mail, plain_mail, reply_calendar

HOUR = datetime.timedelta(hours=1)
# A zone beside the site that the factories make.
OUTLINE = {
    "type": "Polygon",
    "coordinates": [
        [[-76.5, 44.25], [-76.4996, 44.25], [-76.4996, 44.2505], [-76.5, 44.2505], [-76.5, 44.25]],
    ],
}
MANY = 60  # people without a place, so that lists have a second page


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeGroup:
    """The group and one row of each kind."""

    group: Group
    organizer: Member
    coordinator: Member
    lead: Member
    volunteer: Member
    child: Member
    site: Site
    stand: Stand
    zone: Zone
    gauge: Gauge
    notice: SiteNotice
    line: StockLine
    gear_set: GearSet
    loan: Loan
    today: WorkDay
    closed: WorkDay
    cancelled: WorkDay
    unplanned: WorkDay
    stay: Attendance
    stint: tuple[str, uuid.UUID]
    load: Load
    grant: Grant
    entry: HourEntry
    ledger: LedgerRows
    mail: str
    mail_links: tuple[str, ...]
    kiosk: str
    webhook: Webhook


def make_whole_group(now: datetime.datetime) -> WholeGroup:
    """The group as of ``now``, at which its day of today has been under way for an hour."""
    group = factories.make_group(
        name="Willow Bend Reed Group", about="We cut on Saturdays and share a soup afterwards."
    )
    organizer = factories.make_member(group, role=Role.ORGANIZER, name="Ada Organizer")
    coordinator = factories.make_member(group, role=Role.COORDINATOR, name="Cora Coordinator")
    keep_operator(email=account_of(coordinator).email, is_operator=True)
    lead = factories.make_member(
        group, role=Role.CREW_LEAD, name="Lea Lead", trained_lead=True, profile={"first_aid_until": now.date()}
    )
    volunteer = factories.make_water_member(group, name="Nia Neighbour", profile={"boot_eu": None})
    child = factories.make_child(volunteer, name="Kim Child")
    organizer_account = account_of(organizer)
    make_wish(member=volunteer, other=organizer, kind=Wish.Kind.TOGETHER, actor=account_of(volunteer), now=now)
    change_policy(group=group, actor=organizer_account, now=now, wading_depth_cm_max=110, sun_days=21)
    look_at_private(member=volunteer, by=organizer, now=now, why="preparing the day")
    for number in range(MANY):
        factories.make_member(group, name=f"Person {number:02}")

    site = factories.make_site(
        group, name="Heron Landing", hazards="Drop-off beside the pier", access="Past the barn", parking="Two cars"
    )
    stand, zone = _stands(site, organizer_account, now)
    line = factories.make_stock(group, Item.CHEST_WADERS, 4, size="43")
    factories.make_stock(group, Item.LIFE_JACKET, 4, size="adult")
    factories.make_stock(group, Item.SPADE, 0)
    gear_set, loan = _gear(group, organizer_account, now)

    closed = _closed_day(stand, organizer_account, now)
    today = _day_under_way(stand, (volunteer, child), lead, now)
    cancelled = factories.make_day(
        stand, title="Called off", status="cancelled", cancel_reason="Thunder", **_hours(now + 48 * HOUR)
    )
    unplanned = factories.make_day(
        stand, title="Nobody yet", window_reason="The water is low this late.", **_hours(now + 200 * 24 * HOUR)
    )
    for day, code in ((unplanned, DayMark.Code.WATER), (today, DayMark.Code.SEASON)):
        mark_day(day=day, code=code, reasons=[reason("moves.season_closed")], now=now)
    see_mark(mark=today.marks.get(), actor=organizer_account, now=now)
    grant, entry = _grant(group, stand, account_of(coordinator), now)
    ledger = add_ledger_rows(grant=grant, entry=entry, actor=account_of(coordinator), now=now)
    return WholeGroup(
        group=group,
        organizer=organizer,
        coordinator=coordinator,
        lead=lead,
        volunteer=volunteer,
        child=child,
        site=site,
        stand=stand,
        zone=zone,
        gauge=site.gauges.get(),
        notice=site.notices.latest("pk"),
        line=line,
        gear_set=gear_set,
        loan=loan,
        today=today,
        closed=closed,
        cancelled=cancelled,
        unplanned=unplanned,
        stay=Attendance.objects.filter(day=today).latest("signed_in_at"),
        stint=("water", WaterStint.objects.get(day=today).pk),
        load=Load.objects.get(day=today),
        grant=grant,
        entry=entry,
        ledger=ledger,
        mail=_mail(),
        mail_links=_mail_links(today, volunteer, now),
        kiosk=fieldbook.make_kiosk_link(day=today, actor=account_of(lead), now=now)[1],
        webhook=_programs(organizer, now),
    )


def _gear(group: Group, actor: Account, now: datetime.datetime) -> tuple[GearSet, Loan]:
    """Sets with labels, of which one waits to be cleaned and one to be dried, and a loan that is soon due."""
    first, second, third = factories.make_sets(group, Item.CHEST_WADERS, 3, size="43", shelf="Crate 4")
    for kind in (Kind.DAMAGED, Kind.REPAIRED):
        for each in (second, third):
            stock.move_set(gear_set=each, kind=kind, note="heel", actor=actor, now=now)
    stock.mark(group=group, kind=Kind.CLEANED, sets=[third], actor=actor, now=now)
    loan = stock.borrow(
        group=group,
        party="Larch Pond Circle",
        due_on=now.date() + datetime.timedelta(days=5),
        item=Item.CHEST_WADERS,
        size="43",
        number=2,
        actor=actor,
        now=now,
    )
    return first, loan


def _hours(starts_at: datetime.datetime) -> dict[str, Any]:
    return {"starts_at": starts_at, "ends_at": starts_at + 4 * HOUR, "date": starts_at.date()}


def _stands(site: Site, actor: Account, now: datetime.datetime) -> tuple[Stand, Zone]:
    """A stand that may be cut, with a dry, a shallow, a deep and a too deep zone, beside one that may not."""
    stand = factories.make_stand(site.group, site=site, name="North bay", first_cut_year=now.year - 2)
    factories.make_stand(site.group, site=site, name="Old fen", identification=Identification.NATIVE.value)
    stands.record_check(
        stand=stand,
        observation=factories.SEES_INTRODUCED,
        checked_on=now.date() - datetime.timedelta(days=90),
        note="At the outer edge.",
        photos=[_photo()],
        keep_position=True,
        actor=actor,
        now=now,
    )
    zone = factories.make_zone(stand, name="Deep edge", depth_cm=60, gauge_cm=20, outline=OUTLINE, area_m2=1774.6)
    for name, depth_cm in (("Bank", 0), ("Shallows", 20), ("Channel", 140)):
        factories.make_zone(stand, name=name, depth_cm=depth_cm, outline=None if name == "Bank" else OUTLINE)
    gauge = factories.make_gauge(site, name="Pier staff")
    factories.make_notice(site, opens=MonthDay(1, 1), closes=MonthDay(1, 2), issuer="Old wardens", year=2020)
    factories.make_notice(site, force="advice", note="Look for nests first.", recorded_by=actor)
    stands.record_water_level(site=site, level_cm=35, read_at=now - 72 * HOUR, actor=actor, now=now)
    for hours in range(MANY):
        factories.make_level(gauge, 30, now - (100 + hours) * HOUR, read_by=actor)
    _surveys(zone, Zone.objects.get(stand=stand, name="Bank"), actor, now)
    return stand, zone


def _surveys(zone: Zone, bare: Zone, actor: Account, now: datetime.datetime) -> None:
    """A survey of two zones, one of them without an outline and with one quadrat; and one that is struck out."""
    day = now.date() - datetime.timedelta(days=40)
    wrong = factories.make_survey(zone.stand, {zone: [9, 9]}, surveyed_on=day, recorded_by=actor)
    stands.strike_survey(survey=wrong, reason="Counted dead stems", actor=actor, now=now)
    survey = factories.make_survey(
        zone.stand, {zone: [42, 55, 0, 61, 47], bare: [7]}, surveyed_on=day, recorded_by=actor, note="Windy"
    )
    survey.quadrats.filter(number=1).update(
        latitude=44.2501, longitude=-76.4998, height_cm=310, depth_cm=60, seed_heads=7
    )


def _photo() -> Photo:
    """A photo of a stem as a phone in Ontario would take it."""
    tags = Image.Exif()
    where = tags.get_ifd(ExifTags.IFD.GPSInfo)
    where.update({ExifTags.GPS.GPSLatitudeRef: "N", ExifTags.GPS.GPSLatitude: (44.0, 15.0, 0.0)})
    where.update({ExifTags.GPS.GPSLongitudeRef: "W", ExifTags.GPS.GPSLongitude: (76.0, 30.0, 0.0)})
    written = io.BytesIO()
    Image.new("RGB", (1200, 800), (170, 150, 90)).save(written, "JPEG", exif=tags)
    written.seek(0)
    return read_photo(written, name="stem.jpg")


def _closed_day(stand: Stand, organizer: Account, now: datetime.datetime) -> WorkDay:
    """A day two weeks ago whose hours and stems are in the ledger."""
    start = now - 14 * 24 * HOUR
    day = factories.make_day(stand, title="Two weeks ago", **_hours(start))
    for number in range(3):
        member = factories.make_water_member(stand.site.group, name=f"Early {number}")
        factories.make_sign_up(day, member)
        stay = fieldbook.sign_in(day=day, member=member, in_water=True, at=start, actor=organizer, now=start)
        fieldbook.sign_out(attendance=stay, at=start + 3 * HOUR, actor=organizer, now=start + 3 * HOUR)
    fieldbook.tally_bundles(
        day=day,
        zone=day.zones.first(),
        bundles=7,
        sample=[200, 212, 190],
        unit_number=1,
        actor=organizer,
        now=start + HOUR,
    )
    return fieldbook.close(day=day, actor=organizer, now=start + 4 * HOUR)


def _day_under_way(stand: Stand, family: tuple[Member, Member], lead: Member, now: datetime.datetime) -> WorkDay:
    """A full day that began an hour ago: planned, somebody in water, somebody gone, somebody on the waiting list."""
    group, actor = stand.site.group, account_of(lead)
    day = factories.make_day(
        stand,
        title="Today",
        water_places=5,
        land_places=4,
        note="Park on the left.",
        what_to_bring="Water and lunch.",
        forecast_temp_c=31,
        forecast_rh_percent=70,
        forecast_wind_km_h=12,
        forecast_water_temp_c=12,
        **_hours(now - HOUR),
    )
    waders = [factories.make_water_member(group, name=f"Wader {number}") for number in range(4)]
    ashore = [factories.make_member(group, name=f"Ashore {number}") for number in range(2)]
    signed_up = [(member, "water") for member in (*waders, family[0])]
    signed_up += [(member, "land") for member in (family[1], lead, *ashore)]
    signed_up += [(factories.make_water_member(group, name="Late Wader"), "water")]
    for member, place in signed_up:
        workdays.sign_up(day=day, member=member, place=place, actor=actor, now=now - 24 * HOUR)
    make_plan(day=day, actor=actor, now=now)
    _hand_out_some(day, actor, now)
    here, gone = (
        fieldbook.sign_in(day=day, member=member, in_water=True, at=now - HOUR, actor=actor, now=now)
        for member in waders[:2]
    )
    fieldbook.sign_out(attendance=gone, at=now, actor=actor, now=now)
    assert here.signed_out_at is None
    zone = day.zones.get(name="Deep edge")
    wrong, _right = (
        fieldbook.tally_counted(day=day, zone=zone, stems=stems, unit_number=1, actor=actor, now=now)
        for stems in (9999, 412)
    )
    fieldbook.strike(entry=wrong, reason="a finger slipped", actor=actor, now=now)
    fieldbook.record_load(
        day=day, kind=Load.Kind.BAGS, count=4, seed_heads=True, place="Behind the barn", actor=actor, now=now
    )
    _what_goes_wrong(day, here, zone, actor, now)
    mails = OutgoingMail.objects.of_group(group)
    mails.filter(kind=OutgoingMail.Kind.INVITE).update(state=OutgoingMail.State.SENT, sent_at=now)
    mails.filter(sign_up__member=waders[0]).update(state=OutgoingMail.State.REFUSED, last_error="550 No such mailbox")
    assert SignUp.objects.waiting().filter(day=day).exists()
    return day


def _what_goes_wrong(day: WorkDay, here: Attendance, zone: Zone, actor: Account, now: datetime.datetime) -> None:
    """Somebody is alone in the water and was not counted in time, an incident, and two versions of one entry."""
    WaterStint.objects.create(
        day=day, member=here.member, zone=zone, unit_number=1, in_at=now - HOUR / 2, entered_by=actor, entered_at=now
    )
    Load.objects.filter(day=day).update(sun_until=now.date() - datetime.timedelta(days=1))
    fieldbook.record_incident(
        day=day, kind="near_miss", happened_at=now, what="A blade lay in the grass.", who="nobody", actor=actor, now=now
    )
    fieldbook.hear_briefing(
        day=day, members=[here.member], items=[each.value for each in BriefingItem], actor=actor, now=now
    )
    fieldbook.add_photo(day=day, kind="before", zone=zone, photo=_photo(), at=now, actor=actor, now=now)
    phone = PhoneOfDay.objects.create(
        day=day, key=uuid.uuid4(), name="Blue phone", account=actor, first_at=now, last_at=now, offset_s=-95
    )
    entry = uuid.uuid4()
    for stems, outcome, code in ((240, "taken", ""), (420, "refused", "other_version")):
        Submission.objects.create(
            day=day,
            entry_id=entry,
            digest=str(stems),
            phone=phone,
            author=actor,
            kind="tally",
            data={"zone": zone.pk, "stems": stems},
            phone_at=now,
            offset_s=-95,
            at=now,
            received_at=now,
            outcome=outcome,
            code=code,
            other_id=entry if code else None,
        )


def _hand_out_some(day: WorkDay, actor: Account, now: datetime.datetime) -> None:
    """Sets are booked for the plan; one person has their gear already."""
    gear.book_for(day=day, actor=actor, now=now)
    waiting = next(person for person in gear_sheet(day).people if person.sets_booked)
    gear.hand_out(
        day=day,
        member=waiting.member,
        sets=waiting.sets_booked,
        counted=waiting.counted_wanted,
        actor=actor,
        now=now,
    )


def _grant(group: Group, stand: Stand, actor: Account, now: datetime.datetime) -> tuple[Grant, HourEntry]:
    """A grant with a claimed entry, a corrected and an unclaimed one; answers with the unclaimed entry."""
    facts = grants.GrantFacts(
        name="Shore fund",
        funder="Willow county",
        number="WC-7",
        starts_on=now.date() - datetime.timedelta(days=200),
        ends_on=now.date() + datetime.timedelta(days=200),
        stands=[stand],
        note="Report in January.",
    )
    grant = grants.record_grant(group=group, facts=facts, actor=actor, now=now)
    due_on = now.date() + datetime.timedelta(days=30)
    grants.add_reporting_date(grant=grant, due_on=due_on, covers_to=now.date(), actor=actor, now=now)
    grants.choose_open_data(
        group=group,
        published=True,
        licence=Licence.CC_BY,
        blurring=Blurring.MEDIUM,
        version=0,
        actor=actor,
        now=now,
    )
    claimed, wrong, unclaimed = HourEntry.objects.of_group(group).order_by("pk")
    grants.claim_entry(grant=grant, entry=claimed, actor=actor, now=now)
    grants.correct_entry(
        entry=wrong,
        started_at=wrong.started_at,
        ended_at=wrong.ended_at - HOUR,
        reason="left early",
        actor=actor,
        now=now,
    )
    return grant, unclaimed


def _mail() -> str:
    """The name of a mail in the folder of this installation."""
    message = EmailMessage("Work day: Today", "Come at nine.", "days@example.org", ["nia@example.org"])
    return mailfolder.write(Path(settings.MAIL_DIR), message.message().as_bytes(linesep="\r\n"))


def _programs(organizer: Member, now: datetime.datetime) -> Webhook:
    """A token, one that was revoked, and a webhook with a message in each state."""
    account = account_of(organizer)
    tokens = [make_token(organizer, *scopes, number=n)[0] for n, scopes in enumerate([(), (Scope.DAYS,)])]
    services.revoke_token(token=tokens[1], actor=account, now=now)
    hook = make_webhook(organizer.group, "https://programs.example/told/of/days/with/a/long/address", made_by=account)
    for state, fault, status in (("waiting", "answer", 503), ("taken", "", 204), ("given up", "no connection", None)):
        Delivery.objects.create(
            webhook=hook,
            event=Event.DAY_POSTED,
            body='{\n "event": "day.posted"\n}',
            state=state,
            fault=fault,
            status=status,
            tries=1,
            made_at=now,
            next_try_at=now,
        )
    return hook


def _mail_links(day: WorkDay, volunteer: Member, now: datetime.datetime) -> tuple[str, ...]:
    """The pages behind links in mails, after some mail has come in: an answer that is held, a message, rubbish."""
    entry = CalendarEntry.objects.get(sign_up__day=day, sign_up__member=volunteer)
    reply = reply_calendar(uid=entry.uid, attendee=entry.address, sequence=entry.sequence, dtstamp=None)
    held = take_in(raw=calendar_mail(reply, sender="somebody@example.org"), now=now)
    take_in(raw=plain_mail("Is there parking at the landing?", sender=account_of(volunteer).email), now=now)
    take_in(raw=calendar_mail(b"rubbish", sender=account_of(volunteer).email), now=now)
    waits = CalendarEntry.objects.get(sign_up__day=day, sign_up__state=SignUp.State.WAITING)
    links = (
        answer_url(Purpose.CONFIRM, held.pk),
        answer_url(Purpose.OFFER, waits.pk),
        answer_url(Purpose.UNDO, entry.pk),
        unsubscribe_url(account_of(volunteer), MailChoice.Kind.THANKS),
    )
    return tuple(urlsplit(link).path for link in links)
