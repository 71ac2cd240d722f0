"""What is down for a while and comes back: a disk without room, a database or Redis that does not answer.

Such a fault is nobody's mistake, neither the reader's nor the code's: it is answered by 503 and the time to try again.
"""

import errno
import sqlite3
from collections.abc import Iterator

import psycopg
from django.db import InterfaceError, OperationalError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from redis.exceptions import ConnectionError as RedisAway
from redis.exceptions import TimeoutError as RedisSlow

from reedcrew.web.errors import ReedcrewError


class Outage(ReedcrewError):
    """Base of both outages. ``retry_s``: after how many seconds to try again (convention)."""

    status = 503
    heading: str | Promise = ""
    retry_s = 30


class DiskFull(Outage):
    code = "disk_full"
    heading = _("There is no room left to write anything down")
    sentence = _(
        "The disk of this site is full: what you just sent was not kept. What you saved before is safe. Send it again "
        "once whoever runs this site has made room. On the day of a crew, go on with the paper sheets."
    )
    retry_s = 300


class PartAway(Outage):
    code = "part_away"
    heading = _("Away for a moment")
    sentence = _(
        "A part that this site needs does not answer. What you saved before is safe. Go back in half a minute and look "
        "whether your last step is there; if it is not, send it again. On the day of a crew, go on with the paper "
        "sheets."
    )


def outage_of(error: BaseException | None) -> Outage | None:
    """The outage behind an exception, or behind what led to it; None for every other fault."""
    return next((found for each in _chain(error) if (found := _judge(each)) is not None), None)


def has_no_room(error: OSError) -> bool:
    """Whether a file could not be written because the disk is full.

    EFBIG counts: past what this process may write to one file, which operators may set instead of a quota.
    """
    return error.errno in {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


# --- Private ---------------------------------------------------------------------------------------------------------

# Primary result codes (sqlite.org/rescode.html) for a file that cannot be used now; the others are faults of ours.
_SQLITE_AWAY = {
    *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN),
    *(sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PROTOCOL, sqlite3.SQLITE_NOMEM),
}
_PRIMARY = 0xFF  # extended codes keep theirs in the lowest byte


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def _judge(error: BaseException) -> Outage | None:
    match error:
        case Outage():
            return error
        case sqlite3.Error(sqlite_errorcode=int(code)):
            code &= _PRIMARY
            if code == sqlite3.SQLITE_FULL:
                return DiskFull()
            return PartAway() if code in _SQLITE_AWAY else None
        case psycopg.errors.DiskFull():
            return DiskFull()
        case OperationalError() | InterfaceError() if error.__cause__ is not None:
            return None  # the driver's own comes next and says more
        case OperationalError() | InterfaceError() | psycopg.OperationalError() | psycopg.InterfaceError():
            return PartAway()
        case RedisAway() | RedisSlow():
            return PartAway()
        case OSError() if has_no_room(error):
            return DiskFull()
    return None
