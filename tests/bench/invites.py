"""What our invitations cost beside the library that writes them, and what a poll of a calendar costs."""

import datetime
from zoneinfo import ZoneInfo

from django.test import Client
from icalendar import Alarm, Calendar, Event, vCalAddress
from icalendar.enums import STATUS, TRANSP

from reedcrew.invites import feeds
from reedcrew.invites.calendar.events import CalendarEvent, PartStat, new_uid
from reedcrew.invites.calendar.message import request_bytes
from reedcrew.invites.calendar.vtimezone import vtimezone
from reedcrew.invites.mailbox import Mailbox
from reedcrew.workdays import services as workdays
from tests import factories
from tests.bench.database import empty_database, queries_of
from tests.bench.measure import Benchmark, Outcome, in_turn, ratio_of, timed
from tests.factories import NOW

INVITES = 2_000  # of a round
TIMES = 5  # rounds: 10,000 invitations a side
ZONE = ZoneInfo("America/Toronto")
START = datetime.datetime(2026, 8, 15, 9, 0, tzinfo=ZONE)
END = START + datetime.timedelta(hours=4)
TEXTS = {
    "summary": "Cutting at the outer edge",
    "description": "Bring a hat, long sleeves and something to drink.\n\nWaders and life jackets are lent.",
    "location": "Old landing, Quillet Bay",
    "url": "https://reedcrew.example/d/abcdefghij/",
}
QUERIES_OF_A_POLL = 2
DAYS = 30


def _ours() -> float:
    """Events of the trade of invitations, checked, and their bytes."""
    organizer = Mailbox(address="days@reedcrew.example", name="Reed group")

    def make() -> None:
        for number in range(INVITES):
            event = CalendarEvent(
                uid=new_uid(domain="reedcrew.example"),
                sequence=0,
                dtstamp=NOW,
                start=START,
                end=END,
                latitude=44.251934,
                longitude=-76.502218,
                organizer=organizer,
                attendee=Mailbox(address=f"person{number}@example.org", name=f"Person {number}"),
                partstat=PartStat.ACCEPTED,
                alarm=True,
                summary=TEXTS["summary"],
                description=TEXTS["description"],
                location=TEXTS["location"],
                url=TEXTS["url"],
            )
            request_bytes(event)

    return timed(make)


def _library() -> float:
    """The same properties by the library alone, with a time zone that is made once."""
    timezone = vtimezone(ZONE, START.year, last_year=END.year)

    def make() -> None:
        for number in range(INVITES):
            calendar = Calendar.new(method="REQUEST", prodid="-//Bench//Bench//EN", calscale="GREGORIAN")
            attendee = vCalAddress.new(
                f"person{number}@example.org",
                cn=f"Person {number}",
                partstat="ACCEPTED",
                role="REQ-PARTICIPANT",
                rsvp=True,
                cutype="INDIVIDUAL",
            )
            event = Event.new(
                uid=new_uid(domain="reedcrew.example"),
                sequence=0,
                stamp=NOW,
                start=START,
                end=END,
                summary=TEXTS["summary"],
                description=TEXTS["description"],
                location=TEXTS["location"],
                url=TEXTS["url"],
                organizer=vCalAddress.new("days@reedcrew.example", cn="Reed group"),
                attendees=[attendee],
                status=STATUS.CONFIRMED,
                transparency=TRANSP.OPAQUE,
            )
            event.add("GEO", (44.251934, -76.502218))
            alarm = Alarm()
            alarm.add("ACTION", "DISPLAY")
            alarm.add("TRIGGER", datetime.timedelta(days=-1))
            alarm.add("DESCRIPTION", TEXTS["summary"])
            event.add_component(alarm)
            if timezone is not None:
                calendar.add_component(timezone)
            calendar.add_component(event)
            calendar.to_ical()

    return timed(make)


def ours_over_the_library() -> Outcome:
    """10,000 invitations in five rounds by us over the same by the library alone; bound 1.4."""
    return ratio_of(in_turn({"invitations": _ours, "library": _library}, TIMES), over="invitations", under="library")


def poll_over_allowed() -> Outcome:
    """Queries of a poll that has the present state over the two that it may take; bound 1. It builds no calendar."""
    with empty_database():
        group = factories.make_group()
        stand = factories.make_stand(group)
        factories.make_zone(stand)
        member = factories.make_member(group)
        account = factories.account_of(member)
        for _ in range(DAYS):
            day = factories.make_day(stand)
            workdays.sign_up(day=day, member=member, place="water", actor=account, now=NOW)
        token = feeds.make_address(account=account, now=NOW)
        address = f"/feed/{token}.ics"
        first = Client().get(address)
        poller = Client(headers={"If-None-Match": first["ETag"]})
        known, whole = queries_of(poller, address, status=304), queries_of(Client(), address)
        length = len(poller.get(address).content)
    table = [
        ("what", "queries", "octets"),
        ("a poll that has the present state", str(known), str(length)),
        (f"a poll of {DAYS} days", str(whole), str(len(first.content))),
    ]
    return Outcome(table=table, ratio=known / QUERIES_OF_A_POLL)


BENCHMARKS = (
    Benchmark(
        name="invites",
        about=f"building and serializing {INVITES * TIMES:,} invitations ÷ the calendar library doing only that",
        bound=1.4,
        run=ours_over_the_library,
    ),
    Benchmark(
        name="feed",
        about="queries of a calendar poll that has the present state ÷ 2",
        bound=1,
        run=poll_over_allowed,
    ),
)
