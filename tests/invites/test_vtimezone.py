"""The VTIMEZONE we send: its form, and that other programs read every time in it as the zone database does."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from reedcrew.invites.calendar.message import request_bytes
from reedcrew.invites.calendar.vtimezone import vtimezone
from tests.invites.byte_checks import byte_faults
from tests.invites.events import an_event
from tests.invites.itip_checks import event_of, itip_faults, read
from tests.invites.readings import PARSERS, by_ical, under_unknown_name

YEAR = 2026
# Both halves of the world, half-hour steps, odd offsets, a change at midnight, and a winter that is the law's odd half.
RULED = (
    "Europe/Berlin",
    "America/New_York",
    "Australia/Sydney",
    "Australia/Lord_Howe",
    "Pacific/Chatham",
    "Europe/London",
    "Europe/Dublin",
    "America/Havana",
)
FIXED = ("Asia/Kolkata", "America/Phoenix", "Atlantic/Reykjavik", "Asia/Kathmandu")
# Clocks set by the moon, by "the day before the last Sunday", or by decree.
UNRULED = ("Africa/Casablanca", "Asia/Jerusalem", "Africa/Cairo", "America/Santiago")


def request_in(zone: str, start: datetime | None = None, hours: float = 3.5) -> bytes:
    begin = start or datetime(YEAR, 8, 15, 9, tzinfo=ZoneInfo(zone))
    end = (begin.astimezone(UTC) + timedelta(hours=hours)).astimezone(ZoneInfo(zone))
    return request_bytes(an_event(start=begin, end=end))


@pytest.mark.parametrize("zone", RULED)
def test_a_zone_with_yearly_rules_has_one_standard_and_one_daylight_and_no_dates(zone: str) -> None:
    raw = request_in(zone)
    (component,) = read(raw).of_kind("VTIMEZONE")
    assert component.one("TZID").value == zone
    assert sorted(part.kind for part in component.parts) == ["DAYLIGHT", "STANDARD"]
    for part in component.parts:
        assert part.all("RDATE") == []
        assert "BYDAY=" in part.one("RRULE").value  # MS-OXCICAL section 2.1.3.1.1.19.2.2
    assert itip_faults(raw, "REQUEST") == []
    assert byte_faults(raw) == []


@pytest.mark.parametrize(
    ("zone", "kind", "onset", "offset_from", "rule"),
    [
        # Local time in the offset before (RFC 5545 section 3.6.5). Dates of the changes: IANA time zone database.
        ("Europe/Berlin", "DAYLIGHT", "20240331T020000", "+0100", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3"),
        ("Europe/Berlin", "STANDARD", "20241027T030000", "+0200", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10"),
        ("America/New_York", "DAYLIGHT", "20240310T020000", "-0500", "FREQ=YEARLY;BYDAY=2SU;BYMONTH=3"),
        ("America/New_York", "STANDARD", "20241103T020000", "-0400", "FREQ=YEARLY;BYDAY=1SU;BYMONTH=11"),
        ("Australia/Sydney", "DAYLIGHT", "20241006T020000", "+1000", "FREQ=YEARLY;BYDAY=1SU;BYMONTH=10"),
        ("Australia/Sydney", "STANDARD", "20240407T030000", "+1100", "FREQ=YEARLY;BYDAY=1SU;BYMONTH=4"),
    ],
)
def test_the_onset_is_told_in_the_offset_before_it(
    zone: str, kind: str, onset: str, offset_from: str, rule: str
) -> None:
    (component,) = read(request_in(zone)).of_kind("VTIMEZONE")
    (part,) = component.of_kind(kind)
    assert part.one("DTSTART").value == onset
    assert part.one("TZOFFSETFROM").value == offset_from
    assert part.one("RRULE").value == rule


@pytest.mark.parametrize("zone", FIXED)
def test_a_zone_without_changes_has_one_standard_without_a_rule(zone: str) -> None:
    (component,) = read(request_in(zone)).of_kind("VTIMEZONE")
    (part,) = component.parts
    assert part.kind == "STANDARD"
    assert part.all("RRULE") == part.all("RDATE") == []
    assert part.one("TZOFFSETFROM").value == part.one("TZOFFSETTO").value


@pytest.mark.parametrize("zone", [*UNRULED, "UTC", "Etc/UTC"])
def test_times_of_a_zone_without_a_plain_rule_are_sent_in_utc(zone: str) -> None:
    raw = request_in(zone)
    assert read(raw).of_kind("VTIMEZONE") == []
    # RFC 5545 section 3.2.19: no TZID on a UTC time.
    assert event_of(raw).one("DTSTART").params == {}
    assert event_of(raw).one("DTSTART").value.endswith("Z")
    expected = datetime(YEAR, 8, 15, 9, tzinfo=ZoneInfo(zone)).astimezone(UTC)
    assert [parse(raw)[0].start for parse in PARSERS.values()] == [expected, expected]


def test_a_zone_that_changed_its_rule_inside_the_window_is_sent_in_utc() -> None:
    # The United States moved both changes in 2007 (Energy Policy Act of 2005, section 110).
    assert vtimezone(ZoneInfo("America/New_York"), 2006) is None
    assert vtimezone(ZoneInfo("America/New_York"), 2010) is not None


def test_a_zone_needs_its_name() -> None:
    with (files("tzdata.zoneinfo") / "Europe" / "Berlin").open("rb") as data:
        nameless = ZoneInfo.from_file(data)
    with pytest.raises(ValueError, match="name"):
        vtimezone(nameless, YEAR)


def clear_times(zone: ZoneInfo) -> Iterator[datetime]:
    """Noon of every day of three years, and each hour of a day on which the clock is changed, if it comes just once."""
    day = date(YEAR - 1, 1, 1)
    while day <= date(YEAR + 1, 12, 31):
        midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
        changes = midnight.utcoffset() != (midnight + timedelta(days=1)).utcoffset()
        for minutes in range(0, 24 * 60, 30) if changes else [12 * 60]:
            local = midnight + timedelta(minutes=minutes)
            if local.utcoffset() == local.replace(fold=1).utcoffset():
                yield local
        day += timedelta(days=1)


def calendar_of(zone: str, times: list[datetime]) -> bytes:
    """The VTIMEZONE of an invitation for the middle year, with a bare event at each of the times."""
    head = request_in(zone).partition(b"BEGIN:VEVENT\r\n")[0]
    events = "".join(
        f"BEGIN:VEVENT\r\nUID:{number}@x.example\r\nSEQUENCE:0\r\nSUMMARY:x\r\nDTSTAMP:20260101T000000Z\r\n"
        f"DTSTART;TZID={zone}:{local:%Y%m%dT%H%M%S}\r\nDTEND;TZID={zone}:{local:%Y%m%dT%H%M%S}\r\nEND:VEVENT\r\n"
        for number, local in enumerate(times)
    )
    return under_unknown_name(head + events.encode() + b"END:VCALENDAR\r\n", zone)


@pytest.mark.parametrize("zone", [*RULED, *FIXED])
def test_other_programs_read_every_day_around_the_year_as_the_zone_database_does(zone: str) -> None:
    times = list(clear_times(ZoneInfo(zone)))
    assert len(times) >= 1095  # every day of three years
    (component,) = Calendar.from_ical(under_unknown_name(request_in(zone), zone)).timezones
    embedded = component.to_tz()
    assert [local for local in times if local.replace(tzinfo=embedded).utcoffset() != local.utcoffset()] == []


# Not the zones without changes: this parser takes a STANDARD without a rule for UTC under a name it does not know.
@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/New_York", "Australia/Sydney"])
def test_an_unrelated_parser_reads_every_day_around_the_year_as_the_zone_database_does(zone: str) -> None:
    times = list(clear_times(ZoneInfo(zone)))
    raw = calendar_of(zone, times)
    assert [reading.start for reading in by_ical(raw)] == [local.astimezone(UTC) for local in times]


@pytest.mark.parametrize(
    ("zone", "sunday", "hours_at_nine"),
    [
        # Offset from UTC at 09:00, after the change. Dates: IANA time zone database.
        ("Europe/Berlin", date(2026, 3, 29), 2),
        ("Europe/Berlin", date(2026, 10, 25), 1),
        ("America/New_York", date(2026, 3, 8), -4),
        ("America/New_York", date(2026, 11, 1), -5),
        ("Australia/Sydney", date(2026, 10, 4), 11),
        ("Australia/Sydney", date(2026, 4, 5), 10),
    ],
)
def test_a_morning_after_the_clock_was_changed_is_told_right(zone: str, sunday: date, hours_at_nine: int) -> None:
    nine = datetime(sunday.year, sunday.month, sunday.day, 9, tzinfo=ZoneInfo(zone))
    raw = request_in(zone, nine, hours=3)
    start = nine.replace(tzinfo=UTC) - timedelta(hours=hours_at_nine)
    for parse in PARSERS.values():
        for text in (raw, under_unknown_name(raw, zone)):
            (reading,) = parse(text)
            assert (reading.start, reading.end) == (start, start + timedelta(hours=3))


@pytest.mark.parametrize(("sunday", "hours"), [(date(2026, 3, 29), 5), (date(2026, 10, 25), 7)])
def test_an_event_across_the_change_of_the_clock_keeps_its_real_length(sunday: date, hours: int) -> None:
    # From 23:00 to 05:00 by the clock on the wall: five hours in spring, seven in autumn.
    evening = datetime(sunday.year, sunday.month, sunday.day - 1, 23, tzinfo=ZoneInfo("Europe/Berlin"))
    raw = request_in("Europe/Berlin", evening, hours=hours)
    assert event_of(raw).one("DTEND").value == f"{sunday:%Y%m%d}T050000"
    for parse in PARSERS.values():
        (reading,) = parse(under_unknown_name(raw, "Europe/Berlin"))
        assert isinstance(reading.start, datetime)
        assert isinstance(reading.end, datetime)
        assert reading.end - reading.start == timedelta(hours=hours)


def test_the_second_pass_of_the_hour_set_back_is_told_in_utc() -> None:
    # RFC 5545 section 3.3.5: a local time that comes twice means the first time.
    berlin = ZoneInfo("Europe/Berlin")
    second_pass = datetime(2026, 10, 25, 2, 30, tzinfo=berlin, fold=1)
    raw = request_bytes(an_event(start=second_pass, end=datetime(2026, 10, 25, 6, tzinfo=berlin)))
    assert event_of(raw).one("DTSTART").value == "20261025T013000Z"
    assert itip_faults(raw, "REQUEST") == []


def test_a_time_that_the_clock_skips_is_told_as_the_instant_it_means() -> None:
    berlin = ZoneInfo("Europe/Berlin")
    raw = request_bytes(
        an_event(start=datetime(2026, 3, 29, 2, 30, tzinfo=berlin), end=datetime(2026, 3, 29, 6, tzinfo=berlin))
    )
    assert event_of(raw).one("DTSTART").value == "20260329T033000"
