"""How long personal data is kept: the periods are rules of the group, and each app removes what is its own."""

import datetime
from collections.abc import Callable

from reedcrew.people.models import Group, PrivateLook
from reedcrew.people.policy import policy_of
from reedcrew.trade.policy import Policy

DAYS_A_MONTH = 365.25 / 12

# Removes what a group has kept long enough, and answers how many rows that were.
Keeper = Callable[[Group, Policy, datetime.datetime], int]

_keepers: dict[str, Keeper] = {}


def register_keeper(name: str, keeper: Keeper) -> None:
    """Have a kind of data removed in time. Called from AppConfig.ready; the same name again replaces it."""
    _keepers[name] = keeper


def months_before(now: datetime.datetime, months: int) -> datetime.datetime:
    """The moment so many months, of 30.4375 days, before another."""
    return now - datetime.timedelta(days=months * DAYS_A_MONTH)


def keep_within_time(*, group: Group, now: datetime.datetime) -> dict[str, int]:
    """Remove what the group kept longer than its rules say; how many rows of which kind. Repeating it does no harm."""
    policy = policy_of(group)
    return {name: keeper(group, policy, now) for name, keeper in sorted(_keepers.items())}


def remove_old_looks(group: Group, policy: Policy, now: datetime.datetime) -> int:
    """Looks at private records that are older than the rule keeps them."""
    old = PrivateLook.objects.filter(member__group=group, at__lt=months_before(now, policy.look_months))
    removed, _by_model = old.delete()
    return removed
