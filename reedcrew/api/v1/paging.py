"""Lists a page at a time. A page begins behind a row, not at a number: rows that come meanwhile shift nothing."""

import datetime
import re
from typing import Annotated, Any, TypeVar

from django.db.models import QuerySet
from django.http import HttpRequest
from ninja import Schema
from pydantic import BeforeValidator, ConfigDict, Field, WithJsonSchema

from reedcrew.api.v1.problems import Kind, Problem

ROWS_A_PAGE = 50
ROWS_MOST = 100
# Nothing was changed before, and nothing is asked of after; the database knows both.
EARLIEST = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)
LATEST = datetime.datetime(2199, 12, 31, tzinfo=datetime.UTC)
# RFC 3339, 5.6: a date, a time, and how far that is from UTC.
MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9:]{8}(\.[0-9]+)?([Zz]|[+-][0-9]{2}:[0-9]{2})")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
CURSOR = re.compile(r"after-([0-9]{1,18})")

Rows = TypeVar("Rows", bound="QuerySet[Any]")


def _read_moment(written: Any) -> datetime.datetime:
    if MOMENT.fullmatch(str(written)):
        try:
            # Python reads six digits of a second.
            moment = datetime.datetime.fromisoformat(re.sub(r"(\.[0-9]{6})[0-9]+", r"\1", str(written).upper()))
        except ValueError:
            pass
        else:
            return min(max(moment, EARLIEST), LATEST)
    raise ValueError("write a moment such as 2026-08-15T12:00:00Z")


def _read_day(written: Any) -> datetime.date:
    if DAY.fullmatch(str(written)):
        try:
            return datetime.date.fromisoformat(str(written))
        except ValueError:
            pass
    raise ValueError("write a day such as 2026-08-15")


def _read_cursor(written: Any) -> int:
    if found := CURSOR.fullmatch(str(written)):
        return int(found[1])
    raise ValueError("send next_cursor of the page before, unchanged, or leave it out for the first page")


Cursor = Annotated[
    int, BeforeValidator(_read_cursor), WithJsonSchema({"type": "string", "pattern": f"^{CURSOR.pattern}$"})
]
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
    cursor: Cursor | None = Field(None, description="Where the page begins: next_cursor of the one before.")
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
    keys = list(rows.filter(pk__gt=asked.cursor or 0).order_by("pk").values_list("pk", flat=True)[: asked.limit + 1])
    more = len(keys) > asked.limit
    keys = keys[: asked.limit]
    return rows.filter(pk__in=keys).order_by("pk"), f"after-{keys[-1]}" if more else None
