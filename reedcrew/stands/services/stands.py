"""Stands: patches of reed that are followed over the years."""

import datetime

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import StandNameTaken
from reedcrew.stands.models import Site, Stand
from reedcrew.stands.services.rows import locked, save_checked, set_values


@transaction.atomic
def record_stand(
    *,
    site: Site,
    name: str,
    first_cut_year: int | None = None,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
) -> Stand:
    """Add a stand to a site. Nobody has checked its subspecies yet, so that no work day can be posted on it.

    Raises StandNameTaken, RemovedMeanwhile for the site, and ValidationError for a value that the model refuses.
    """
    locked(site)
    stand = Stand(site=site, name=name, first_cut_year=first_cut_year, note=note)
    save_checked(stand, StandNameTaken)
    record(group=site.group, actor=actor, at=now, deed="stand recorded", subject=stand, name=name)
    return stand


@transaction.atomic
def change_stand(
    *,
    stand: Stand,
    version: int,
    name: str,
    first_cut_year: int | None,
    note: str,
    actor: Account,
    now: datetime.datetime,
) -> Stand:
    """Change a stand's name, first year of cutting and note. ``version`` is that of the stand as the actor saw it.

    Raises ChangedMeanwhile, RemovedMeanwhile, StandNameTaken, and ValidationError for a value that the model refuses.
    """
    locked(stand.site)
    row = locked(stand)
    values = {"name": name, "first_cut_year": first_cut_year, "note": note}
    if changes := set_values(row, version, values):
        save_checked(row, StandNameTaken)
        record(group=stand.site.group, actor=actor, at=now, deed="stand changed", subject=row, changes=changes)
    return row
