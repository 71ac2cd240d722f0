"""The lines of the ledger behind a report, as rows of a file. Made for millions of lines: little is done for each.

What a line shares with others (its day's words, a person's code, a rate) is put into words once and looked up, in the
form in which the file has it.
"""

import datetime
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Generic, TypeVar
from zoneinfo import ZoneInfo

from django.db.models import TextField
from django.db.models.functions import Cast

from reedcrew.grants.errors import LedgerMoved
from reedcrew.grants.models import ACTIVITIES, KINDS, ROLES
from reedcrew.grants.reports import Report
from reedcrew.grants.reports.codes import UNKNOWN_PERSON, codes_of_accounts
from reedcrew.grants.reports.pricing import NO_RATE, Pricing, money
from reedcrew.grants.reports.records import Hours
from reedcrew.grants.reports.sums import CHUNK
from reedcrew.grants.reports.words import hours_text
from reedcrew.people.models import Member
from reedcrew.stands.models import Stand
from reedcrew.web.cells import safe_cell

HEAD = (
    "entry",
    "corrects",
    "date",
    "day",
    "work day",
    "site",
    "stand",
    "person",
    "kind",
    "activity",
    "role",
    "start",
    "end",
    "minutes",
    "minutes counted",
    "hours counted",
    "rate",
    "value",
    "currency",
    "approved by",
    "approved at",
    "reason",
    "evidence",
    "entered by",
    "entered at",
)
NAME = "name"  # stands behind "person" where the funder requires names
COLUMNS = (
    *("pk", "corrects", "date_text", "day", "stand", "member", "kind", "activity", "role"),
    *("start", "end", "minutes", "reason", "evidence", "entered_by", "entered"),
)
# As the database writes them, in UTC: making an object of each moment would take longer than all the rest.
TEXTS = {
    name: Cast(column, TextField())
    for name, column in (("date_text", "date"), ("start", "started_at"), ("end", "ended_at"), ("entered", "entered_at"))
}
TO_SECONDS, TO_HOUR = len("2026-08-15 13:00:00"), len("2026-08-15 13")
FETCHED = 10_000  # lines that come from the database at once: each time both sides wait for one another
WORDS_KEPT = 20_000  # words that are kept at most, so that memory does not grow with the lines
Progress = Callable[[int], object]
Key = TypeVar("Key")
Word = TypeVar("Word")
Row = TypeVar("Row")


class Words(dict[Key, Word], Generic[Key, Word]):
    """Answers that are made once and kept, at most so many."""

    def __init__(self, make: Callable[[Key], Word], most: int = WORDS_KEPT) -> None:
        super().__init__()
        self._make, self._most = make, most

    def __missing__(self, key: Key) -> Word:
        if len(self) == self._most:
            self.clear()
        self[key] = made = self._make(key)
        return made


def amount_text(cents: int) -> str:
    """Hundredths of a currency with a point before the last two digits."""
    return str(money(cents))


def cells(
    pk: int,
    corrects: int | str,
    date: str,
    place: list[Any],
    person: list[Any],
    work: list[Any],
    start: str,
    end: str,
    minutes: int,
    priced: list[Any],
    approval: list[Any],
    reason: list[Any],
    evidence: list[Any],
    author: list[Any],
    at: str,
) -> list[Any]:
    """A line as the cells of its row."""
    return [
        *(pk, corrects, date, *place, *person, *work, start, end, minutes),
        *(*priced, *approval, *reason, *evidence, *author, at),
    ]


def head_of(report: Report) -> tuple[str, ...]:
    """The names of the columns."""
    if not report.scope.grant.names_required:
        return HEAD
    place = HEAD.index("person") + 1
    return (*HEAD[:place], NAME, *HEAD[place:])


def line_rows(
    report: Report,
    *,
    progress: Progress | None = None,
    hours: Callable[[int], Any] = hours_text,
    amount: Callable[[int], Any] = amount_text,
    part: Callable[[Sequence[Any]], Any] = list,
    row: Callable[..., Row] = cells,  # type: ignore[assignment]  # of lists, as ``part`` makes them unless told otherwise
) -> Iterator[Row]:
    """The lines under ``head_of``, by date. ``hours`` and ``amount`` write counted minutes and hundredths of value.

    ``part`` makes of cells that many lines share what ``row`` puts together with the others, as ``cells`` does.
    ``progress`` is told how many are written, now and then. Raises LedgerMoved after the last line where the ledger
    changed since the report was made, so that sums of the lines are other ones.
    """
    pricing = Pricing(report.scope.grant)
    stands = {stand.pk: stand for stand in Stand.objects.of_group(report.scope.grant.group).select_related("site")}
    zones = {key: stand.site.zone_info for key, stand in stands.items()}
    clocks = {key: Clock(zone) for key, zone in zones.items()}
    rates: Words[tuple[str, str], int] = Words(lambda key: pricing.rate(key[0], datetime.date.fromisoformat(key[1])))
    codes = codes_of_accounts(report.scope.grant.group_id)
    authors: Words[int, Any] = Words(lambda key: part([codes.get(key, UNKNOWN_PERSON)]))
    people = {key: part(words) for key, words in _people(report).items()}
    days = _days(report)
    tables = [_words(table) for table in (KINDS, ACTIVITIES, ROLES)]
    works: Words[tuple[str, str, str], Any] = Words(
        lambda key: part([table[value] for table, value in zip(tables, key, strict=True)])
    )

    def place(key: tuple[int, int]) -> tuple[Any, Any, Clock]:
        day, stand = key
        if day not in days:  # claimed since the report was made
            raise LedgerMoved
        title, *approval = days[day]
        words = [day, title, safe_cell(stands[stand].site.name), safe_cell(stands[stand].name)]
        return part(words), part(approval), clocks[stand]

    def worth(key: tuple[int, int]) -> tuple[int, Any]:
        counted, rate = key
        cents = pricing.cents(counted, rate)
        priced = ["", ""] if rate == NO_RATE else [f"R{pricing.rates[rate].pk}", amount(cents)]
        return cents, part([counted, hours(counted), *priced, report.currency])

    places: Words[tuple[int, int], tuple[Any, Any, Clock]] = Words(place)
    worths: Words[tuple[int, int], tuple[int, Any]] = Words(worth)
    moments: Words[str, str] = Words(lambda at: moment_of(at).isoformat(timespec="seconds"))
    nothing, times = part([""]), pricing.needs_times
    entries = all_minutes = all_counted = all_cents = unvalued = 0
    lines = report.scope.entries().order_by("date", "started_at", "pk").annotate(**TEXTS).values_list(*COLUMNS)
    for (
        pk, corrects, date, day, stand, member, kind, activity, role, start, end, minutes, reason, evidence, author, at,
    ) in lines.iterator(chunk_size=FETCHED):  # fmt: skip
        counted = pricing.counted(moment_of(start), moment_of(end), zones[stand]) if times else minutes
        rate = rates[role, date]
        cents, priced = worths[counted, rate]
        placed, approval, clock = places[day, stand]
        entries += 1
        all_minutes += minutes
        all_counted += counted
        all_cents += cents
        if rate == NO_RATE:
            unvalued += counted
        yield row(
            pk,
            corrects or "",
            date,
            placed,
            people[member],
            works[kind, activity, role],
            clock(start),
            clock(end),
            minutes,
            priced,
            approval,
            part([safe_cell(reason)]) if reason else nothing,
            part([safe_cell(evidence)]) if evidence else nothing,
            authors[author],
            moments[at],
        )
        if progress is not None and not entries % CHUNK:
            progress(entries)
    written = Hours(
        entries=entries, minutes=all_minutes, counted=all_counted, value=money(all_cents), unvalued=unvalued
    )
    if written != report.hours:
        raise LedgerMoved


def moment_of(text: str) -> datetime.datetime:
    """A moment as a database writes it in UTC, to the second."""
    return datetime.datetime.fromisoformat(text[:TO_SECONDS]).replace(tzinfo=datetime.UTC)


class Clock:
    """Writes moments by a site's clock as ISO 8601 to the minute, such as 2026-08-15T09:00-04:00."""

    def __init__(self, zone: ZoneInfo) -> None:
        self._zone = zone
        self._hours = Words(self._hour)

    def __call__(self, text: str) -> str:
        """``text`` is a moment as a database writes it in UTC."""
        before, after = self._hours[text[:TO_HOUR]]
        if before:
            return f"{before}{text[TO_HOUR + 1 : TO_HOUR + 3]}{after}"
        return self._slowly(text)

    def _slowly(self, text: str) -> str:
        return moment_of(text).astimezone(self._zone).isoformat(timespec="minutes")

    def _hour(self, hour: str) -> tuple[str, str]:
        """What stands before and after the minutes of an hour of UTC; nothing where they are other minutes here."""
        first, last = self._slowly(f"{hour}:00:00"), self._slowly(f"{hour}:59:00")
        before, after = first[: TO_HOUR + 1], first[TO_HOUR + 3 :]
        return (before, after) if first[TO_HOUR + 1 :] == f"00{after}" and last == f"{before}59{after}" else ("", "")


# --- Private ---------------------------------------------------------------------------------------------------------


def _words(table: list[tuple[str, Any]]) -> dict[str, str]:
    return {value: str(word) for value, word in table}


def _people(report: Report) -> dict[int, list[str]]:
    """Code, and name where the funder requires it, of each member of the group."""
    rows = Member.objects.filter(group=report.scope.grant.group_id).values_list("pk", "code", "name")
    named = report.scope.grant.names_required
    return {key: [code, safe_cell(name)] if named else [code] for key, code, name in rows}


def _days(report: Report) -> dict[int, tuple[str, str, str]]:
    """Title, approver's code and time of approval of each day of the report."""
    return {
        day.day_id: (
            safe_cell(day.title),
            day.approved_by,
            day.approved_at.isoformat(timespec="seconds") if day.approved_at else "",
        )
        for day in report.days
    }
