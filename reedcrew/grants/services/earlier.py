"""Taking over earlier seasons from a spreadsheet: all rows or none, and undone as a whole.

The file lies on disk until it is taken over or put aside; then only its lines, its name and its digest are kept.
"""

import datetime
import hashlib
from collections.abc import Callable, Mapping
from typing import IO

from django.core.files import File
from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.earlier.cells import DateOrder
from reedcrew.grants.earlier.judging import COLUMN_WORDS, REQUIRED, Column, Judge, Judged, Line, Mapped
from reedcrew.grants.earlier.spreadsheet import FILE_BYTES_MAX, read_rows
from reedcrew.grants.models import EarlierBatch, EarlierLine
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.web.lengths import length_of
from reedcrew.web.times import day_text

SUFFIXES = (".csv", ".xlsx")
_CHUNK_BYTES = 64 * 1024

Keep = Callable[[list[Line]], None]


@transaction.atomic
def upload_earlier(*, group: Group, file: File, actor: Account, now: datetime.datetime) -> EarlierBatch:  # type: ignore[type-arg]  # in the stubs only
    """Keep a spreadsheet to look at. Raises NoSpreadsheet, FileTakenOver, NoRows, and what read_rows raises."""
    name = str(file.name or "").rpartition("/")[2].rpartition("\\")[2]
    suffix = name[name.rfind(".") :].lower() if "." in name else ""
    if suffix not in SUFFIXES:
        raise errors.NoSpreadsheet
    if file.size > FILE_BYTES_MAX:
        raise errors.SpreadsheetTooLarge(limit=FILE_BYTES_MAX // 1024 // 1024)
    digest = _digest(file)
    taken = EarlierBatch.objects.filter(group=group, digest=digest, state=EarlierBatch.State.IMPORTED).first()
    if taken is not None and taken.imported_at is not None:
        raise errors.FileTakenOver(date=day_text(taken.imported_at.date()))
    if next(read_rows(file, suffix), None) is None:
        raise errors.NoRows
    batch = EarlierBatch(
        group=group,
        file_name=name[: length_of(EarlierBatch, "file_name")],
        suffix=suffix,
        digest=digest,
        uploaded_by=actor,
        uploaded_at=now,
    )
    file.seek(0)
    batch.file.save(name, file, save=False)
    batch.save()
    return batch


@transaction.atomic
def name_columns(*, batch: EarlierBatch, columns: Mapping[Column, int], order: DateOrder) -> EarlierBatch:
    """Keep what is in which column. Raises NotToTakeOver or ColumnsMissing."""
    batch = _held(batch)
    if missing := [str(COLUMN_WORDS[each]) for each in REQUIRED if each not in columns]:
        raise errors.ColumnsMissing(columns=", ".join(missing))
    batch.mapping = {**{column.value: place for column, place in columns.items()}, "order": order.value}
    batch.save(update_fields=["mapping"])
    return batch


def look_through(*, batch: EarlierBatch, today: datetime.date) -> Judged:
    """Judge every row and write nothing. Raises what reading a file raises, NoRows or ColumnsMissing."""
    with batch.file.open("rb") as file:
        return _judge(batch, file, today, None)


@transaction.atomic
def take_over(*, batch: EarlierBatch, actor: Account, now: datetime.datetime, today: datetime.date) -> EarlierBatch:
    """Write every row of the file as a line of earlier work, or none of them.

    Raises RowsWrong with the first error, NotToTakeOver, FileTakenOver, and what look_through raises.
    """
    lock_group(batch.group)
    batch = _held(batch)
    same = EarlierBatch.objects.filter(group=batch.group, digest=batch.digest, state=EarlierBatch.State.IMPORTED)
    if (taken := same.first()) is not None and taken.imported_at is not None:
        raise errors.FileTakenOver(date=day_text(taken.imported_at.date()))

    def keep(lines: list[Line]) -> None:
        EarlierLine.objects.bulk_create([line.of_batch(batch) for line in lines])

    with batch.file.open("rb") as file:
        judged = _judge(batch, file, today, None)
        if judged.error_count:
            first = judged.errors[0]
            raise errors.RowsWrong(
                row=first.row, column=first.column, sentence=first.sentence, count=judged.error_count
            )
        _judge(batch, file, today, keep)  # reading twice costs little beside writing rows that go again
    batch.state, batch.rows = EarlierBatch.State.IMPORTED, judged.rows
    batch.imported_by, batch.imported_at = actor, now
    _drop_file(batch)
    batch.save()
    record(group=batch.group, actor=actor, at=now, deed="earlier work taken over", subject=batch, rows=judged.rows)
    return batch


@transaction.atomic
def undo(*, batch: EarlierBatch, actor: Account, now: datetime.datetime) -> EarlierBatch:
    """Remove every line that came with a file; that it was taken over and undone stays on record.

    Raises NotTakenOver.
    """
    lock_group(batch.group)
    batch = EarlierBatch.objects.select_for_update(no_key=True, of=("self",)).select_related("group").get(pk=batch.pk)
    if batch.state != EarlierBatch.State.IMPORTED:
        raise errors.NotTakenOver(state=batch.get_state_display())
    EarlierLine.objects.filter(batch=batch).delete()
    batch.state, batch.undone_by, batch.undone_at = EarlierBatch.State.UNDONE, actor, now
    batch.save(update_fields=["state", "undone_by", "undone_at"])
    record(group=batch.group, actor=actor, at=now, deed="earlier work undone", subject=batch, rows=batch.rows)
    return batch


@transaction.atomic
def put_aside(*, batch: EarlierBatch) -> None:
    """Remove a file that was not taken over. Raises NotToTakeOver."""
    batch = _held(batch)
    _drop_file(batch)
    batch.delete()


# --- Private ---------------------------------------------------------------------------------------------------------


def _held(batch: EarlierBatch) -> EarlierBatch:
    """The batch as it is now, its row held. Raises NotToTakeOver unless it waits to be taken over."""
    held = EarlierBatch.objects.select_for_update(no_key=True, of=("self",)).select_related("group").get(pk=batch.pk)
    if held.state != EarlierBatch.State.UPLOADED:
        raise errors.NotToTakeOver(state=held.get_state_display())
    return held


def _judge(batch: EarlierBatch, file: IO[bytes], today: datetime.date, keep: Keep | None) -> Judged:
    if not batch.mapping:
        raise errors.ColumnsMissing(columns=", ".join(str(COLUMN_WORDS[each]) for each in REQUIRED))
    columns = {Column(name): place for name, place in batch.mapping.items() if name != "order"}
    rows = read_rows(file, batch.suffix)
    _number, head = next(rows, (0, ()))
    mapped = Mapped(columns=columns, order=DateOrder(batch.mapping["order"]))
    return Judge(batch.group, mapped, head, today).judge(rows, keep)


def _drop_file(batch: EarlierBatch) -> None:
    """Let the file go when the transaction has succeeded."""
    storage, name = batch.file.storage, batch.file.name
    batch.file = ""  # an empty name is no file
    transaction.on_commit(lambda: storage.delete(name))


def _digest(file: IO[bytes]) -> str:
    digest = hashlib.sha256()
    file.seek(0)
    while piece := file.read(_CHUNK_BYTES):
        digest.update(piece)
    return digest.hexdigest()
