"""Sites: where a crew meets."""

import datetime
from typing import Any

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stands.errors import SiteNameTaken
from reedcrew.stands.models import Site
from reedcrew.stands.services.moves import season_told
from reedcrew.stands.services.rows import locked, save_checked, set_values
from reedcrew.stands.signals import site_changed


@transaction.atomic
def record_site(*, group: Group, actor: Account, now: datetime.datetime, **values: Any) -> Site:
    """Add a site to a group. ``values`` are fields of Site.

    Raises SiteNameTaken, and ValidationError for a value that the model refuses.
    """
    lock_group(group)
    site = Site(group=group, **values)
    save_checked(site, SiteNameTaken)
    record(group=group, actor=actor, at=now, deed="site recorded", subject=site, name=site.name)
    return site


@transaction.atomic
def change_site(*, site: Site, version: int, actor: Account, now: datetime.datetime, **values: Any) -> Site:
    """Change some fields of a site. ``version`` is that of the site as the actor saw it.

    Raises ChangedMeanwhile, RemovedMeanwhile, SiteNameTaken, and ValidationError for a value that the model refuses.
    """
    lock_group(site.group)
    row = locked(site)
    if changes := set_values(row, version, values):
        with season_told(site, actor, now):
            save_checked(row, SiteNameTaken)
        record(group=site.group, actor=actor, at=now, deed="site changed", subject=row, changes=changes)
        site_changed.send(Site, site=row, actor=actor, now=now)
    return row
