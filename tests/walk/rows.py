"""A group with one row for each argument that an address can ask for."""

import datetime
import io
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.core.files.base import ContentFile
from PIL import Image

from reedcrew.api.models import Delivery, Event, Webhook
from reedcrew.api.scopes import Scope
from reedcrew.api.services import make_token
from reedcrew.crews.models import Plan, PlanPin
from reedcrew.crews.services.planning import make_plan
from reedcrew.fieldbook.models import Attendance, DayPhoto, Load, Tally
from reedcrew.fieldbook.services import make_kiosk_link
from reedcrew.grants.models import (
    EarlierBatch,
    ExportJob,
    Family,
    Grant,
    HourEntry,
    HourlyRate,
    OpenDataChoice,
    ReportingDate,
)
from reedcrew.invites import feeds
from reedcrew.invites.answer_links import Purpose, answer_url
from reedcrew.invites.choices import unsubscribe_url
from reedcrew.invites.models import CalendarEntry, IncomingMail, MailChoice, OutgoingMail, RosterMessage
from reedcrew.invites.services import invite
from reedcrew.people.models import Group, Member, Wish
from reedcrew.people.roles import Role
from reedcrew.stands.models import CheckPhoto, IdentificationCheck, Stand, Zone
from reedcrew.stock.models import StockLine
from reedcrew.stock.services.loans import borrow
from reedcrew.trade.items import Item
from reedcrew.trade.pins import PinKind
from reedcrew.workdays.models import DayMark, SignUp, WorkDay
from tests import factories
from tests.factories import END, NOW, START, account_of, make_check

Values = dict[tuple[str, str], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """A group, one member of each role, and the rows that the makers below hand out."""

    group: Group
    readers: Mapping[Role, Member]
    stand: Stand
    zone: Zone
    day: WorkDay
    sign_ups: Mapping[Role, SignUp]
    values: Values

    def values_for(self, reader: Member) -> Values:
        """The values of all arguments for one reader of this group: where a page is a person's own, their own."""
        role = Role(reader.role)
        return {**self.values, **{argument: make(self, role) for argument, make in MAKERS.items()}}


def make_world() -> World:
    """Make the group with all its rows."""
    group = factories.make_group()
    readers = {role: factories.make_water_member(group, role=role) for role in Role}
    stand = factories.make_stand(group)
    zone = factories.make_zone(stand)
    day = factories.make_day(stand)
    sign_ups = {role: factories.make_sign_up(day, reader) for role, reader in readers.items()}
    world = World(group=group, readers=readers, stand=stand, zone=zone, day=day, sign_ups=sign_ups, values={})
    for make in (_ground, _stock, _crews, _field, _grants, _mail, _programs):
        world.values.update(make(world))
    return world


def _own_wish(world: World, role: Role) -> int:
    other = world.readers[Role.VOLUNTEER if role == Role.ORGANIZER else Role.ORGANIZER]
    return Wish.objects.get_or_create(member=world.readers[role], other=other, defaults={"kind": "together"})[0].pk


def _own_check(world: World, role: Role) -> int:
    account = account_of(world.readers[role])
    return (world.stand.checks.filter(checked_by=account).first() or make_check(world.stand, checked_by=account)).pk


def _withdrawn(world: World, role: Role) -> SignUp:
    gone = world.day.sign_ups.filter(member=world.readers[role], state=SignUp.State.WITHDRAWN).first()
    return gone or factories.make_sign_up(world.day, world.readers[role], state=SignUp.State.WITHDRAWN)


def _unsubscribe(world: World, role: Role) -> str:
    return _last_part(unsubscribe_url(account_of(world.readers[role]), MailChoice.Kind.THANKS))


# What is a person's own, by the part of the route before the argument and the argument's name.
MAKERS: Mapping[tuple[str, str], Callable[[World, Role], object]] = MappingProxyType(
    {
        ("people", "pk"): lambda world, role: world.readers[role].pk,
        ("wishes", "wish_pk"): _own_wish,
        ("checks", "check"): _own_check,
        ("take", "sign_up"): lambda world, role: world.sign_ups[role].pk,
        ("withdraw", "sign_up"): lambda world, role: world.sign_ups[role].pk,
        ("after-all", "sign_up"): lambda world, role: _withdrawn(world, role).pk,
        ("unsubscribe", "token"): _unsubscribe,
    }
)
# Arguments that name no row, so that another group has the same ones.
NO_ROWS = frozenset(
    {
        *((page, name) for page in ("history", "report", "season") for name in ("chart", "theme")),
        ("season", "year"),
        ("strike", "kind"),
        ("help", "topic"),
    }
)


def _ground(world: World) -> Values:
    stand, site = world.stand, world.stand.site
    check = make_check(stand)
    survey = factories.make_survey(stand, {world.zone: [20, 30, 40]})
    gauge = factories.make_gauge(site)
    factories.make_level(gauge, 40)
    return {
        ("help", "topic"): "rules",
        ("stands", "pk"): stand.pk,
        ("sites", "pk"): site.pk,
        ("zones", "zone"): world.zone.pk,
        ("photos", "code"): make_photo(check).code,  # a photo of the day has the same one
        ("surveys", "survey"): survey.pk,
        ("gauges", "gauge"): gauge.pk,
        ("notices", "notice"): factories.make_notice(site).pk,
        ("history", "chart"): "stems",
        ("history", "theme"): "light",
    }


def make_photo(check: IdentificationCheck) -> CheckPhoto:
    """A photo of a check, with its two files."""
    drawn = io.BytesIO()
    Image.new("RGB", (8, 8), "tan").save(drawn, "JPEG")
    file = ContentFile(drawn.getvalue(), name=f"walk-{check.pk}.jpg")
    return CheckPhoto.objects.create(
        check_of=check,
        picture=file,
        thumbnail=file,
        width=8,
        height=8,
        digest=f"{check.pk:064x}",
        added_by=check.checked_by,
        added_at=NOW,
    )


def _stock(world: World) -> Values:
    group, actor = world.group, account_of(world.readers[Role.ORGANIZER])
    gear_set = factories.make_sets(group, Item.CHEST_WADERS, 1, size="43")[0]
    due_on = NOW.date() + datetime.timedelta(days=30)
    loan = borrow(group=group, party="The next group", due_on=due_on, item=Item.SPADE, number=2, actor=actor, now=NOW)
    lent = StockLine.objects.get(group=group, item=Item.SPADE.value)
    return {
        ("stock", "pk"): lent.pk,
        ("set", "code"): gear_set.code,
        ("loans", "pk"): loan.pk,
        ("loans", "line"): lent.pk,
    }


def _crews(world: World) -> Values:
    organizer = world.readers[Role.ORGANIZER]
    plan: Plan = make_plan(day=world.day, actor=account_of(organizer), now=NOW)
    mark = DayMark.objects.create(day=world.day, code=DayMark.Code.WATER, since=NOW, changed_at=NOW)
    pin = PlanPin.objects.create(
        day=world.day, kind=PinKind.NOT_WATER.value, member=organizer, made_by=account_of(organizer), made_at=NOW
    )
    return {
        ("days", "pk"): world.day.pk,
        ("roster", "sign_up"): world.sign_ups[Role.VOLUNTEER].pk,
        ("marks", "mark"): mark.pk,
        ("accept", "plan"): plan.pk,
        ("pin", "pin"): pin.pk,
        ("gear", "member"): organizer.pk,
        ("d", "code"): world.day.share_code,
    }


def _field(world: World) -> Values:
    lead, volunteer = world.readers[Role.CREW_LEAD], world.readers[Role.VOLUNTEER]
    entered = {"day": world.day, "entered_by": account_of(lead), "entered_at": NOW}
    attendance = Attendance.objects.create(member=lead, signed_in_at=NOW, **entered)
    tally = Tally.objects.create(zone=world.zone, method="counted", stems=10, **entered)
    bags = Load.objects.create(
        kind=Load.Kind.BAGS,
        count=1,
        place="the dry bank",
        sun_until=END.date() + datetime.timedelta(days=21),
        **entered,
    )
    photo = CheckPhoto.objects.get(code=world.values["photos", "code"])
    DayPhoto.objects.create(
        code=photo.code,
        picture=photo.picture.name,
        thumbnail=photo.thumbnail.name,
        width=8,
        height=8,
        digest=photo.digest,
        kind=DayPhoto.Kind.BEFORE,
        **entered,
    )
    _link, token = make_kiosk_link(day=world.day, actor=account_of(lead), now=NOW)
    return {
        ("in", "member"): volunteer.pk,
        ("people", "member"): volunteer.pk,
        ("sign-in", "code"): volunteer.code,
        ("out", "attendance"): attendance.pk,
        ("absent", "sign_up"): world.sign_ups[Role.VOLUNTEER].pk,
        ("strike", "kind"): "tally",
        ("strike", "entry"): tally.pk,
        ("bags", "entry"): bags.pk,
        ("at", "token"): token,
    }


def _grants(world: World) -> Values:
    group, lead = world.group, world.readers[Role.CREW_LEAD]
    actor = account_of(world.readers[Role.COORDINATOR])
    hours = HourEntry.objects.create(
        group=group,
        member=lead,
        day=world.day,
        stand=world.stand,
        date=START.date(),
        started_at=START,
        ended_at=END,
        minutes=240,
        evidence="a map",
        evidence_file=ContentFile(b"%PDF-1.7", name=f"walk-{group.pk}.pdf"),
        entered_by=account_of(lead),
        entered_at=NOW,
    )
    period = {"starts_on": START.date(), "ends_on": END.date()}
    grant = Grant.objects.create(group=group, name="Shore", funder="A foundation", **period)
    grant.stands.add(world.stand)
    due = ReportingDate.objects.create(grant=grant, due_on=END.date(), covers_to=END.date())
    rate = HourlyRate.objects.create(
        group=group,
        role="crew",
        since=START.date(),
        hourly=30,
        currency="USD",
        source="A table",
        source_date=START.date(),
        recorded_by=actor,
        recorded_at=NOW,
    )
    OpenDataChoice.objects.create(group=group, published=True, changed_by=actor, changed_at=NOW)
    batch = EarlierBatch.objects.create(
        group=group,
        file_name="before.csv",
        suffix=".csv",
        digest=f"{group.pk:064x}",
        file=ContentFile(b"date,name,minutes\n2025-08-01,Ash Reed,60\n", name="before.csv"),
        uploaded_by=actor,
        uploaded_at=NOW,
    )
    made = ExportJob.objects.create(
        group=group,
        grant=grant,
        first=START.date(),
        last=END.date(),
        form=ExportJob.Form.SUMMARY,
        state=ExportJob.State.DONE,
        language="en",
        asked_by=actor,
        asked_at=NOW,
        file=ContentFile(b"hours\n4\n", name=f"walk-{group.pk}.csv"),
        lines_all=1,
        size=8,
        finished_at=NOW,
        expires_at=NOW + datetime.timedelta(days=7),
    )
    return {
        ("hours", "pk"): hours.pk,
        ("grants", "pk"): grant.pk,
        ("values", "pk"): rate.pk,
        ("earlier", "pk"): batch.pk,
        ("reports", "date"): due.pk,
        ("families", "pk"): Family.objects.create(group=group, name="One award").pk,
        ("files", "pk"): made.pk,
        ("report", "chart"): "hours",
        ("report", "theme"): "light",
        ("season", "year"): START.year,
        ("season", "chart"): "week-hours",
        ("season", "theme"): "light",
    }


def _mail(world: World) -> Values:
    sign_up = world.sign_ups[Role.VOLUNTEER]
    key, account = f"{world.group.pk}", account_of(sign_up.member)
    invite(sign_up=sign_up, actor=account, now=NOW)
    entry = CalendarEntry.objects.get(sign_up=sign_up)
    out = OutgoingMail.objects.create(
        group=world.group,
        sign_up=sign_up,
        kind=OutgoingMail.Kind.MESSAGE,
        to_address=account.email,
        envelope_from="bounce@days.example",
        subject="Come at nine",
        message_id=f"<{key}.out@days.example>",
        raw=b"Subject: Come at nine\r\n\r\nBring gloves.\r\n",
        created_at=NOW,
        next_try_at=NOW,
    )
    came = IncomingMail.objects.create(
        group=world.group,
        entry=entry,
        kind=IncomingMail.Kind.PERSONAL,
        outcome=IncomingMail.Outcome.PASSED_ON,
        sender=account.email,
        received_at=NOW,
        digest=key.rjust(64, "0"),
        raw=b"Subject: Hello\r\n\r\nI come later.\r\n",
    )
    organizer = account_of(world.readers[Role.ORGANIZER])
    message = RosterMessage.objects.create(
        day=world.day,
        subject="Come at nine",
        words="Bring gloves.",
        sent_by=organizer,
        sent_at=NOW,
        people=1,
        submission=uuid.uuid4(),
    )
    out.roster_message = message
    out.save()
    return {
        ("write", "message"): message.pk,
        ("outbox", "pk"): out.pk,
        ("inbox", "pk"): came.pk,
        ("feed", "token"): feeds.make_address(account=account, now=NOW),
        ("calendar", "code"): feeds.open_group_feed(group=world.group, actor=organizer, now=NOW).code,
        ("answers", "token"): _last_part(answer_url(Purpose.UNDO, entry.pk)),
    }


def _programs(world: World) -> Values:
    group, organizer = world.group, world.readers[Role.ORGANIZER]
    webhook = Webhook.objects.create(
        group=group,
        url="https://programs.example/reedcrew",
        events=[Event.DAY_POSTED.value],
        secret="hook_of_a_walk",
        made_by=account_of(organizer),
        made_at=NOW,
        submission=uuid.uuid4(),
    )
    given_up = Delivery.objects.create(
        webhook=webhook,
        event=Event.DAY_POSTED,
        body='{"event": "day.posted"}',
        state=Delivery.State.GIVEN_UP,
        tries=8,
        fault="no connection",
        made_at=NOW,
        next_try_at=NOW,
    )
    made = make_token(
        member=organizer,
        name="A map",
        scopes=[Scope.STANDS],
        expires_at=NOW + datetime.timedelta(days=90),
        submission=uuid.uuid4(),
        now=NOW,
    )
    return {("tokens", "pk"): made.token.pk, ("webhooks", "pk"): webhook.pk, ("messages", "delivery"): given_up.pk}


def _last_part(url: str) -> str:
    return url.rstrip("/").rpartition("/")[2]
