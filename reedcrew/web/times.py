"""Days, times and spans as people of a site read them: in the site's zone, with the zone's short name."""

import re
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.formats import date_format, number_format
from django.utils.timezone import is_naive
from django.utils.translation import get_language
from django.utils.translation import gettext as _

# A weekday helps a volunteer more than a year does, but a record needs the year: both stand in every day that is shown.
CLOCK_FORMAT = "H:i"
FIRST_OF_MONTH = re.compile(r"^1 ")
LEAP_YEAR = 2024  # any: all days of a year are in it


def in_zone(moment: datetime, zone: str | ZoneInfo) -> datetime:
    """``moment`` on the clocks of ``zone`` (IANA name or ZoneInfo). Raises ValueError for a moment without a zone."""
    if is_naive(moment):
        raise ValueError("A moment needs a time zone before it can be shown.")
    return moment.astimezone(zone if isinstance(zone, ZoneInfo) else ZoneInfo(zone))


def zone_name(moment: datetime) -> str:
    """Short name of the zone at that moment, such as CEST; zones without letters are shown as UTC+03."""
    name = moment.tzname() or ""
    return name if name[:1].isalpha() else f"UTC{name}"


def date_text(day: date, date_style: str = "DATE_FORMAT") -> str:
    """A date in the reader's language, by a format that begins with the day of the month.

    French writes the first of a month as an ordinal and the other days as plain numbers (rule of French
    typography, from memory): 1er mars, 2 mars. Django's formats know no such case.
    """
    written = date_format(day, date_style)
    if day.day == 1 and (get_language() or "").startswith("fr"):
        return FIRST_OF_MONTH.sub("1er ", written, count=1)
    return written


def day_text(day: date) -> str:
    """A day with its weekday and year."""
    return f"{date_format(day, 'D')} {date_text(day)}"


def day_of_year_text(month: int, day: int) -> str:
    """A day of any year, 29 February too."""
    return date_text(date(LEAP_YEAR, month, day), "MONTH_DAY_FORMAT")


def clock_text(moment: datetime, zone: str | ZoneInfo) -> str:
    """The time of day on 24 hours, with the zone's short name."""
    local = in_zone(moment, zone)
    return f"{date_format(local, CLOCK_FORMAT)} {zone_name(local)}"


def moment_text(moment: datetime, zone: str | ZoneInfo) -> str:
    """Day and time of a moment."""
    return f"{day_text(in_zone(moment, zone))}, {clock_text(moment, zone)}"


def span_text(start: datetime, end: datetime, zone: str | ZoneInfo) -> str:
    """From start to end: one day named once, two days named both; the zone of the end follows where it differs."""
    first, last = in_zone(start, zone), in_zone(end, zone)
    if first.date() != last.date():
        return _("%(start)s to %(end)s") % {"start": moment_text(start, zone), "end": moment_text(end, zone)}
    return f"{day_text(first)}, {clock_span_text(start, end, zone)}"


def clock_span_text(start: datetime, end: datetime, zone: str | ZoneInfo) -> str:
    """The times of day from start to end, where the day stands beside it; the zone once unless it changes between."""
    first, last = in_zone(start, zone), in_zone(end, zone)
    opening = date_format(first, CLOCK_FORMAT)
    if zone_name(first) != zone_name(last):
        opening += f" {zone_name(first)}"
    return f"{opening}–{clock_text(end, zone)}"


def duration_text(length: timedelta | float) -> str:
    """Hours and minutes, rounded to the minute. A number is taken as minutes."""
    minutes = round(length.total_seconds() / 60) if isinstance(length, timedelta) else round(length)
    sign = "−" if minutes < 0 else ""
    hours, rest = divmod(abs(minutes), 60)
    if not hours:
        return _("%(sign)s%(minutes)d min") % {"sign": sign, "minutes": rest}
    if not rest:
        return _("%(sign)s%(hours)s h") % {"sign": sign, "hours": number_format(hours, force_grouping=True)}
    return _("%(sign)s%(hours)s h %(minutes)d min") % {
        "sign": sign,
        "hours": number_format(hours, force_grouping=True),
        "minutes": rest,
    }
