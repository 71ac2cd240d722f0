"""Lists a page at a time. A page begins behind a row, not at a number: rows that come meanwhile shift nothing."""

import binascii
import datetime
import re
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Sequence
from typing import Annotated, Any, TypeVar

from django.db.models import QuerySet
from django.http import HttpRequest
from ninja import Schema
from pydantic import BeforeValidator, ConfigDict, Field, WithJsonSchema

from reedcrew.api.v1.problems import Kind, Problem

ROWS_A_PAGE = 50
ROWS_MOST = 100
FIRST_YEAR, LAST_YEAR = 1970, 2199
# RFC 3339, 5.6: a date, a time, and how far that is from UTC.
MOMENT = re.compile(r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:\d\d(\.\d{1,9})?([Zz]|[+-]\d\d:\d\d)")
DAY = re.compile(r"\d{4}-\d\d-\d\d")

Rows = TypeVar("Rows", bound="QuerySet[Any]")


def _read_moment(written: Any) -> datetime.datetime:
    if MOMENT.fullmatch(str(written)):
        try:
            # Python reads six digits of a second.
            text = re.sub(r"(\.\d{6})\d+", r"\1", str(written).upper())
            moment = datetime.datetime.fromisoformat(text)
            if FIRST_YEAR <= moment.year <= LAST_YEAR:
                return moment
        except ValueError:
            pass
    raise ValueError(f"write a moment such as 2026-08-15T12:00:00Z, in the years {FIRST_YEAR} to {LAST_YEAR}")


def _read_day(written: Any) -> datetime.date:
    if DAY.fullmatch(str(written)):
        try:
            day = datetime.date.fromisoformat(str(written))
            if FIRST_YEAR <= day.year <= LAST_YEAR:
                return day
        except ValueError:
            pass
    raise ValueError(f"write a day such as 2026-08-15, in the years {FIRST_YEAR} to {LAST_YEAR}")


Moment = Annotated[
    datetime.datetime,
    BeforeValidator(_read_moment),
    WithJsonSchema({"type": "string", "format": "date-time", "example": "2026-08-01T00:00:00Z"}),
]
Day = Annotated[
    datetime.date,
    BeforeValidator(_read_day),
    WithJsonSchema({"type": "string", "format": "date", "example": "2026-08-01"}),
]


class Asked(Schema):
    """What every list can be asked for."""

    model_config = ConfigDict(extra="forbid")

    limit: int = Field(ROWS_A_PAGE, ge=1, le=ROWS_MOST, description="Most rows of one answer.")
    cursor: str | None = Field(None, max_length=40, description="Where the page begins: next_cursor of the one before.")
    updated_since: Moment | None = Field(None, description="Only rows that changed then or later (RFC 3339).")


class AskedOfDays(Asked):
    """What lists that lie on days can be asked for beside that."""

    first_date: Day | None = Field(None, description="Only from this date of the site on.")
    last_date: Day | None = Field(None, description="Only up to this date of the site, which is included.")


def ask_known(request: HttpRequest, asked: Asked) -> None:
    """Raises Problem for a parameter that there is not: a slip must not look like an answer to the question."""
    known = sorted(type(asked).model_fields)
    if unknown := sorted(set(request.GET) - set(known)):
        said = f"there is no such parameter; there are {', '.join(known)}"
        raise Problem(Kind.BAD_REQUEST, "This request cannot be understood.", parameters=dict.fromkeys(unknown, said))


def page_of(rows: Rows, asked: Asked) -> tuple[Rows, str | None]:
    """The rows of the page that was asked for, by their keys, and the cursor of the next page. One query."""
    keys = list(
        rows.filter(pk__gt=_behind(asked.cursor)).order_by("pk").values_list("pk", flat=True)[: asked.limit + 1]
    )
    more = len(keys) > asked.limit
    keys = keys[: asked.limit]
    return rows.filter(pk__in=keys).order_by("pk"), _cursor(keys) if more else None


# --- Private ---------------------------------------------------------------------------------------------------------


def _cursor(keys: Sequence[int]) -> str:
    return urlsafe_b64encode(f"after {keys[-1]}".encode()).decode().rstrip("=")


def _behind(cursor: str | None) -> int:
    if cursor is None:
        return 0
    try:
        text = urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4)).decode("ascii")
    except (binascii.Error, UnicodeError, ValueError):
        text = ""
    found = re.fullmatch(r"after (\d{1,18})", text)
    if found is None:
        said = {"cursor": "send next_cursor of the page before, unchanged, or leave it out for the first page"}
        raise Problem(Kind.BAD_REQUEST, "This request cannot be understood.", parameters=said)
    return int(found[1])
