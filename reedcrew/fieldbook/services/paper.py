"""A day that ran on the paper sheets, typed in: all of it, or nothing with every row that was refused."""

import datetime
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.fieldbook.errors import PaperRefused
from reedcrew.fieldbook.services.attendance import sign_in, sign_out
from reedcrew.fieldbook.services.work import record_load, tally_counted
from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperStay:
    """One line of the sign-in sheet. Without ``left_at`` the person counts as on site."""

    row: str
    member: Member
    came_at: datetime.datetime
    left_at: datetime.datetime | None
    in_water: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLoad:
    """One load of the tally sheet."""

    row: str
    kind: str
    count: int
    seed_heads: bool
    place: str


def type_in_paper(
    *,
    day: WorkDay,
    stays: Sequence[PaperStay],
    stems: Mapping[str, tuple[Zone, int]],
    loads: Sequence[PaperLoad],
    submission: uuid.UUID,
    actor: Account,
    now: datetime.datetime,
) -> None:
    """Write down the rows of the sheets, guardians before their children. ``stems`` by the name of its row.

    The same ``submission`` again writes nothing twice. Raises PaperRefused with the sentence of each refused row; then
    nothing is written.
    """
    refused: dict[str, str] = {}

    def key(row: str) -> uuid.UUID:
        return uuid.uuid5(submission, row)

    with transaction.atomic():
        signed_in = []
        for stay in sorted(stays, key=lambda each: each.member.guardian_id is not None):
            try:
                row = sign_in(
                    day=day,
                    member=stay.member,
                    in_water=stay.in_water,
                    at=stay.came_at,
                    actor=actor,
                    now=now,
                    entry_id=key(f"stay {stay.row}"),
                )
                signed_in.append((stay, row))
            except ReedcrewError as refusal:
                refused[stay.row] = str(refusal)
        for stay, row in sorted(signed_in, key=lambda each: each[0].member.guardian_id is None):
            if stay.left_at is None:
                continue
            try:
                sign_out(attendance=row, at=stay.left_at, actor=actor, now=now)
            except ReedcrewError as refusal:
                refused[stay.row] = str(refusal)
        for name, (zone, count) in stems.items():
            try:
                tally_counted(
                    day=day,
                    zone=zone,
                    stems=count,
                    unit_number=None,
                    actor=actor,
                    now=now,
                    entry_id=key(f"stems {name}"),
                )
            except ReedcrewError as refusal:
                refused[name] = str(refusal)
        for load in loads:
            try:
                record_load(
                    day=day,
                    kind=load.kind,
                    count=load.count,
                    seed_heads=load.seed_heads,
                    place=load.place,
                    actor=actor,
                    now=now,
                    entry_id=key(f"load {load.row}"),
                )
            except ReedcrewError as refusal:
                refused[load.row] = str(refusal)
        if refused:
            raise PaperRefused(refused)
