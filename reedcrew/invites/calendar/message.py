"""Writing calendar objects: an invitation, a cancellation, a feed. Same input, same bytes.

Everything that could be told wrongly in silence is passed on purpose: the library would invent a UID for event and
calendar, take a fixed offset for a zone name, and write a VTIMEZONE that starts summer time an hour late.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Component, Event, Timezone, TimezoneStandard, vCalAddress
from icalendar.prop import vInline, vUri

from reedcrew.invites.calendar.events import CalendarEvent, EventError, FeedEvent, Method, Status, Transparency
from reedcrew.invites.calendar.vtimezone import vtimezone
from reedcrew.invites.mailbox import Mailbox, mailto
from reedcrew.invites.plaintext import one_line

PRODID = "-//Reedcrew//Work days//EN"
ALARM_BEFORE = timedelta(days=1)
FEED_REFRESH = timedelta(hours=6)
FEED_COLOUR = "seagreen"  # a colour name of CSS3, as RFC 7986 section 5.9 wants


def request_bytes(event: CalendarEvent) -> bytes:
    """The REQUEST that invites one person or tells a change: always the whole event (RFC 5546 section 3.2.2).

    Raises EventError when the event is cancelled; that is what ``cancel_bytes`` tells.
    """
    if event.status is Status.CANCELLED:
        raise EventError({"status": "must be TENTATIVE or CONFIRMED in an invitation (RFC 5546 section 3.2.2)"})
    return _message(event, Method.REQUEST)


def cancel_bytes(event: CalendarEvent) -> bytes:
    """The CANCEL of the whole event for its one person (RFC 5546 section 3.2.5), whatever ``event.status`` says.

    ``event.sequence`` must be the raised one, and ``event.comment`` may tell why. Never has an alarm.
    """
    return _message(event, Method.CANCEL)


def feed_bytes(*, name: str, uid: str, events: Iterable[FeedEvent]) -> bytes:
    """A calendar that can be subscribed to: ``events`` without organizer, attendee or method, in order of time.

    ``name`` is shown by calendar programs; ``uid`` names the calendar and stays the same for ever (RFC 7986 section
    5.3). Unchanged input gives unchanged bytes, whatever the order it comes in. A person's answer, alarm and comment
    are left out even when a CalendarEvent is passed.
    """
    ordered = sorted(events, key=lambda event: (_instant(event), event.uid))
    calendar = _calendar(None)
    calendar.add("UID", uid)
    for key in ("NAME", "X-WR-CALNAME"):
        _add_text(calendar, key, one_line(name))  # TEXT by RFC 7986 section 5.1 and RFC 5545 section 3.8.8.2
    # The library's own argument leaves VALUE out, which RFC 7986 section 5.7 demands.
    calendar.add("REFRESH-INTERVAL", FEED_REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("X-PUBLISHED-TTL", vInline("PT6H"), encode=False)
    calendar.add("COLOR", FEED_COLOUR)
    zones = _zones(ordered)
    for timezone in zones.values():
        calendar.add_component(timezone)
    for event in ordered:
        component = _event(event, zones)
        component.add("LAST-MODIFIED", event.dtstamp)  # RFC 5545 section 3.8.7.2: without METHOD the same as DTSTAMP
        calendar.add_component(component)
    if not ordered:
        calendar.add_component(_utc_timezone())
    return _bytes(calendar)


def _message(event: CalendarEvent, method: Method) -> bytes:
    calendar = _calendar(method)
    zones = _zones([event])
    for timezone in zones.values():
        calendar.add_component(timezone)
    component = _event(event, zones, cancelled=method is Method.CANCEL)
    component.add("ORGANIZER", _person(event.organizer))
    attendee = _person(event.attendee)
    attendee.params["CUTYPE"] = "INDIVIDUAL"
    attendee.params["ROLE"] = "REQ-PARTICIPANT"
    attendee.params["PARTSTAT"] = event.partstat.value
    if method is Method.REQUEST:
        attendee.params["RSVP"] = "TRUE"
    component.add("ATTENDEE", attendee)
    if event.comment:
        _add_text(component, "COMMENT", event.comment)
    if event.alarm and method is Method.REQUEST:
        component.add_component(_alarm(event))
    calendar.add_component(component)
    return _bytes(calendar)


def _calendar(method: Method | None) -> Calendar:
    # Not Calendar.new, which invents a UID for the calendar: a mail is no calendar to be told apart from others.
    calendar = Calendar()
    calendar.add("PRODID", PRODID)
    calendar.add("VERSION", "2.0")
    calendar.add("CALSCALE", "GREGORIAN")
    if method is not None:
        calendar.add("METHOD", method.value)
    return calendar


def _event(event: FeedEvent, zones: dict[str, Timezone], *, cancelled: bool = False) -> Event:
    cancelled = cancelled or event.status is Status.CANCELLED
    component = Event()
    component.add("UID", event.uid)
    component.add("SEQUENCE", event.sequence)
    component.add("DTSTAMP", event.dtstamp)
    start, end = _times(event, zones)
    component.add("DTSTART", start)
    component.add("DTEND", end)
    _add_text(component, "SUMMARY", event.summary)
    component.add("STATUS", (Status.CANCELLED if cancelled else event.status).value)
    # A day that is called off takes nobody's time.
    component.add("TRANSP", (Transparency.TRANSPARENT if cancelled else event.transparency).value)
    for key, text in (("DESCRIPTION", event.description), ("LOCATION", event.location)):
        if text:
            _add_text(component, key, text)
    if event.geo:
        # Written as text: the library prints a small number as 1e-05, which is no float of RFC 5545 section 3.3.7.
        component.add("GEO", vInline(event.geo), encode=False)
    if event.url:
        component.add("URL", vUri(event.url), encode=False)
    return component


def _add_text(component: Component, key: str, text: str) -> None:
    """A TEXT value with the escapes of RFC 5545 section 3.3.11.

    Done here because the library makes a line end of a backslash before N, and escapes no property it does not know.
    """
    for sign, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        text = text.replace(sign, escaped)
    component.add(key, vInline(text), encode=False)


def _person(mailbox: Mailbox) -> vCalAddress:
    address = vCalAddress(mailto(mailbox.address))
    if mailbox.name:
        address.params["CN"] = mailbox.name
    return address


def _alarm(event: CalendarEvent) -> Alarm:
    alarm = Alarm()
    alarm.add("ACTION", "DISPLAY")
    alarm.add("TRIGGER", -ALARM_BEFORE)
    _add_text(alarm, "DESCRIPTION", event.summary)
    return alarm


def _instant(event: FeedEvent) -> datetime:
    if isinstance(event.start, datetime):
        return event.start.astimezone(UTC)
    return datetime(event.start.year, event.start.month, event.start.day, tzinfo=UTC)


def _zones(events: Sequence[FeedEvent]) -> dict[str, Timezone]:
    """The VTIMEZONE of each zone that at least one event is told in, by name, in the order of the names."""
    years: dict[ZoneInfo, list[int]] = {}
    for event in events:
        if event.zone is not None and _is_plain(event.start) and _is_plain(event.end):
            years.setdefault(event.zone, []).extend((event.start.year, event.end.year))
    found = {}
    for zone in sorted(years, key=lambda zone: zone.key):
        timezone = vtimezone(zone, min(years[zone]), last_year=max(years[zone]))
        if timezone is not None:
            found[zone.key] = timezone
    return found


def _is_plain(moment: datetime | date) -> bool:
    """Whether the clock on the wall tells the instant. In the hour set back, local time means the first pass only
    (RFC 5545 section 3.3.5), so the second pass has to be told in UTC."""
    return not isinstance(moment, datetime) or moment.astimezone(UTC).astimezone(moment.tzinfo).fold == 0


def _times(event: FeedEvent, zones: dict[str, Timezone]) -> tuple[datetime | date, datetime | date]:
    """DTSTART and DTEND: whole days with the end after the last (RFC 5545 section 3.6.1), local times, or UTC."""
    start, end = event.start, event.end
    if not isinstance(start, datetime) or not isinstance(end, datetime):
        return start, end + timedelta(days=1)
    start, end = (moment.replace(microsecond=0).astimezone(UTC) for moment in (start, end))
    if event.zone is None or event.zone.key not in zones or not (_is_plain(event.start) and _is_plain(event.end)):
        return start, end
    # By way of UTC, so that a time the clock skips in spring comes out as one that exists.
    return start.astimezone(event.zone), end.astimezone(event.zone)


def _utc_timezone() -> Timezone:
    """What stands in a feed without events: RFC 5545 section 3.6 wants at least one component."""
    standard = TimezoneStandard()
    standard.add("DTSTART", datetime(1970, 1, 1))  # noqa: DTZ001  # local time of the zone, as section 3.6.5 wants
    standard.add("TZOFFSETFROM", timedelta())
    standard.add("TZOFFSETTO", timedelta())
    timezone = Timezone()
    timezone.add("TZID", "Etc/UTC")
    timezone.add_component(standard)
    return timezone


def _bytes(calendar: Calendar) -> bytes:
    return bytes(calendar.to_ical())
