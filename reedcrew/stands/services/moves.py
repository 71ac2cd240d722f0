"""Telling the other parts of the site what a change of water or of calendar does, with before and after."""

import datetime
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from reedcrew.people.models import Account
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Site, Stand
from reedcrew.stands.queries import rules_of, zone_states
from reedcrew.stands.signals import season_changed, zone_changed


@contextmanager
def zones_told(stands: Iterable[Stand], now: datetime.datetime) -> Iterator[None]:
    """Send zone_changed for each stand after the block, with what its zones were before it and are after it.

    The stands come with site and group. What the block changes must be saved inside it.
    """
    told = list(stands)
    policies = {stand.pk: policy_of(stand.site.group) for stand in told}
    before = {stand.pk: zone_states(stand, policies[stand.pk], now) for stand in told}
    yield
    for stand in told:
        after = zone_states(stand, policies[stand.pk], now)
        zone_changed.send(Stand, stand=stand, now=now, before=before[stand.pk], after=after)


@contextmanager
def season_told(site: Site, actor: Account, now: datetime.datetime) -> Iterator[None]:
    """Send season_changed after the block, with the site's calendar before and after it. The site comes with group."""
    policy = policy_of(site.group)
    before = rules_of(site, policy)
    yield
    row = Site.objects.select_related("group").get(pk=site.pk)
    season_changed.send(Site, site=row, actor=actor, now=now, before=before, after=rules_of(row, policy))
