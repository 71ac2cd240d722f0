"""From when to when the fieldbook of a day takes entries."""

import datetime

OPENS_BEFORE = datetime.timedelta(hours=6)  # (cp): setting up a landing takes less than a morning
TAKES_UNTIL = datetime.timedelta(hours=6)  # (cp) after the end: a later time is a press that came days too late


def minute_of(moment: datetime.datetime) -> datetime.datetime:
    """Stamps are whole minutes, so that hours are exact."""
    return moment.replace(second=0, microsecond=0)
