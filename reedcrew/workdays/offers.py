"""How long somebody of the waiting list is asked before the next is: the time to answer follows the time left.

Nobody is written to, and nobody's time runs, in the quiet hours of the site. All values are conventions of this
project: there is no published rule.
"""

import datetime
from zoneinfo import ZoneInfo

HOUR = datetime.timedelta(hours=1)
QUIET_FROM = datetime.time(21)  # by the clocks of the site
QUIET_UNTIL = datetime.time(7)

# Time left until the day starts, and the time to answer that it gives; the first line that fits.
TIME_TO_ANSWER = (
    (7 * 24 * HOUR, 48 * HOUR),
    (2 * 24 * HOUR, 24 * HOUR),
    (24 * HOUR, 6 * HOUR),
    (12 * HOUR, 3 * HOUR),
    (6 * HOUR, HOUR),
    (3 * HOUR, HOUR / 2),
)
LAST_MINUTES = 2 * HOUR  # an answer is needed so long before the start, or nobody sets out in time


def end_of_quiet_hours(moment: datetime.datetime, zone: ZoneInfo) -> datetime.datetime:
    """The moment itself, or the end of the quiet hours that it lies in. In and out aware; out in UTC."""
    local = moment.astimezone(zone)
    if QUIET_UNTIL <= local.time() < QUIET_FROM:
        return moment.astimezone(datetime.UTC)
    date = local.date() + datetime.timedelta(days=local.time() >= QUIET_FROM)
    return datetime.datetime.combine(date, QUIET_UNTIL, tzinfo=zone).astimezone(datetime.UTC)


def _start_of_quiet_hours(moment: datetime.datetime, zone: ZoneInfo) -> datetime.datetime:
    """When the next quiet hours begin after a moment that lies in none."""
    return datetime.datetime.combine(moment.astimezone(zone).date(), QUIET_FROM, tzinfo=zone).astimezone(datetime.UTC)


def answer_until(now: datetime.datetime, starts_at: datetime.datetime, zone: ZoneInfo) -> datetime.datetime | None:
    """Until when somebody who is asked at ``now`` has to answer; None where too little time is left to ask by mail.

    The time to answer is counted outside the quiet hours and ends at least two hours before the day starts. Moments
    are aware; the answer is in UTC.
    """
    asked = end_of_quiet_hours(now, zone)
    latest = starts_at.astimezone(datetime.UTC) - LAST_MINUTES
    time = next((answer for left, answer in TIME_TO_ANSWER if starts_at - asked >= left), None)
    if time is None or asked >= latest:
        return None
    until = asked
    while (awake := _start_of_quiet_hours(until, zone) - until) < time:
        time -= awake
        until = end_of_quiet_hours(until + awake, zone)
    return min(until + time, latest)
