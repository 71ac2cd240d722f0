"""From when to when the fieldbook of a day takes entries."""

import datetime

OPENS_BEFORE = datetime.timedelta(hours=6)  # (cp): setting up a landing takes less than a morning
TAKES_UNTIL = datetime.timedelta(hours=6)  # (cp) after the end: a later time is a press that came days too late
