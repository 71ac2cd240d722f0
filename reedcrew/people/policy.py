"""A group's values for the rules of the trade."""

import dataclasses
import datetime
from typing import Any

from django.db import transaction
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from reedcrew.people import signals
from reedcrew.people.audit import record
from reedcrew.people.errors import RuleValueUnfit
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group, PolicyChange
from reedcrew.trade import policy_ranges
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.season import MonthDay


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How pages speak of one value of Policy: ``one`` is its unit beside a 1, where that is another word.

    ``safer`` is the direction of safety, +1 up or -1 down; 0 is neither.
    """

    name: str
    label: str | Promise
    why: str | Promise
    unit: str | Promise = ""
    one: str | Promise = ""
    code: str = ""
    safer: int = 0


RULES: tuple[Rule, ...] = (
    Rule(
        name="window_opens",
        label=_("First day of the permitted weeks"),
        why=_("Work starts after nesting and spawning at the edges. Common practice; a site may have its own weeks."),
    ),
    Rule(
        name="window_closes",
        label=_("Last day of the permitted weeks"),
        why=_("Cutting helps until the plant stops moving reserves. Common practice."),
    ),
    Rule(
        name="nest_check_until",
        label=_("Look for nests until"),
        why=_(
            "Birds may nest from mid-March to late August, later in the north. Until this day pages ask for a check "
            "for active nests; it opens and closes no day."
        ),
        safer=+1,
    ),
    Rule(
        name="sun_days",
        label=_("Days in direct sun for bagged material"),
        unit=_("days"),
        one=pgettext_lazy("after 1", "day"),
        why=_("Bags lie in the sun so that nothing in them can root or sprout. Common practice."),
        safer=+1,
    ),
    Rule(
        name="water_days_min",
        label=_("Earlier water days that make an adult experienced"),
        unit=_("days"),
        one=pgettext_lazy("after 1", "day"),
        why=_("Each unit in water has one such adult, or a trained lead."),
        code="H2",
        safer=+1,
    ),
    Rule(
        name="minor_depth_cm_max",
        label=_("Deepest water for a person under 18"),
        unit="cm",
        why=_("And only in a unit with their own guardian. Local rules on minors come first."),
        code="H3",
        safer=-1,
    ),
    Rule(
        name="wading_depth_cm_max",
        label=_("Deepest water for anyone"),
        unit="cm",
        why=_("A person's wading limit is the lesser of this depth and a share of their height."),
        code="H6",
        safer=-1,
    ),
    Rule(
        name="wading_stature_share",
        label=_("Wading limit as a share of height"),
        why=_("0.5 is about the hip."),
        code="H6",
        safer=-1,
    ),
    Rule(
        name="wading_safety_factor",
        label=_("Safety factor for current"),
        why=_("Divides the published limit of depth × current, which is made for strong, trained adults."),
        code="H7",
        safer=+1,
    ),
    Rule(
        name="units_per_spotter",
        label=_("Units in water for one spotter"),
        unit=_("units"),
        one=pgettext_lazy("after 1", "unit"),
        why=_("For each started group of so many units of a zone an adult watches from the shore."),
        code="H10",
        safer=-1,
    ),
    Rule(
        name="headcount_minutes",
        label=_("Longest time between two head counts"),
        unit=_("minutes"),
        one=pgettext_lazy("after 1", "minute"),
        why=_("While anyone is in water, everybody is counted this often. Common practice."),
        safer=-1,
    ),
    Rule(
        name="seasoned_water_days",
        label=_("Earlier water days of a seasoned person"),
        unit=_("days"),
        one=pgettext_lazy("after 1", "day"),
        why=_("Plans prefer one seasoned person in each unit."),
    ),
    Rule(
        name="spare_tool_every",
        label=_("One spare tool for every"),
        unit=_("tools"),
        one=pgettext_lazy("after 1", "tool"),
        why=_("Tools break and get lost in the reed. Common practice."),
    ),
    Rule(
        name="water_stems_per_hour",
        label=_("Stems that one person cuts in an hour, in water"),
        unit=_("stems"),
        one=pgettext_lazy("after 1", "stem"),
        why=_("A first guess for planning, until the group has records of its own. Common practice."),
    ),
    Rule(
        name="land_stems_per_hour",
        label=_("Stems that one person cuts in an hour, on dry land"),
        unit=_("stems"),
        one=pgettext_lazy("after 1", "stem"),
        why=_("A first guess for planning, until the group has records of its own. Common practice."),
    ),
    Rule(
        name="private_months",
        label=_("Keep emergency contacts and health notes after somebody's last day for"),
        unit=_("months"),
        one=pgettext_lazy("after 1", "month"),
        why=_("Then they are emptied, and asked for again when the person comes back. Common practice."),
    ),
    Rule(
        name="mail_months",
        label=_("Keep mails in the outbox and inbox for"),
        unit=_("months"),
        one=pgettext_lazy("after 1", "month"),
        why=_("Older mails are removed. Common practice."),
    ),
    Rule(
        name="look_months",
        label=_("Keep the record of who looked at private records for"),
        unit=_("months"),
        one=pgettext_lazy("after 1", "month"),
        why=_("So long a person can read who looked. Common practice."),
    ),
    Rule(
        name="gone_percent",
        label=_("Stems left at which a stand counts as nearly gone"),
        unit=_("% of the first survey"),
        why=_("Forecasts name the year in which a stand should be down to so many. Common practice."),
    ),
)


def policy_of(group: Group) -> Policy:
    """The defaults of trade.policy with this group's changes applied, oldest first."""
    changes: dict[str, Any] = {change.name: read(change.value) for change in group.policy_changes.all()}
    return dataclasses.replace(DEFAULT_POLICY, **changes)


def read(stored: Any) -> Any:
    """The value that a PolicyChange row stores: a pair is the day of a year."""
    return MonthDay(*stored) if isinstance(stored, list) else stored


@transaction.atomic
def change_policy(*, group: Group, actor: Account, now: datetime.datetime, **values: Any) -> Policy:
    """Record new values for some of the group's rules and return the whole policy.

    Raises ValueError for a name that Policy does not have, RuleValueUnfit for a value outside its range in
    trade.policy_ranges. A value equal to the one in force leaves no row.
    """
    known = {field.name for field in dataclasses.fields(Policy)}
    if unknown := sorted(set(values) - known):
        raise ValueError(f"no such rule: {', '.join(unknown)}")
    lock_group(group)
    before = policy_of(group)
    after = dataclasses.replace(before, **values)
    try:
        policy_ranges.check(after)
    except UnusableInput as error:
        raise RuleValueUnfit(where=error.faults[0].where, message=error.faults[0].message) from error
    changed = {name: value for name, value in values.items() if value != getattr(before, name)}
    for name, value in changed.items():
        PolicyChange.objects.create(group=group, name=name, value=value, changed_by=actor, changed_at=now)
        record(group=group, actor=actor, at=now, deed="rule changed", subject=group, name=name, value=value)
    if changed:
        signals.policy_changed.send(sender=Group, group=group, actor=actor, now=now)
    return after
