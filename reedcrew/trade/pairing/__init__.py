"""Plans a day: who enters water, in which unit, and who does what on shore.

The solver takes a second to load, and most processes never plan: what this package offers is loaded when it is first
asked for. Whoever must start quickly writes ``pairing.plan_day``.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from reedcrew.trade.pairing.pin_rules import pin_refusals
    from reedcrew.trade.pairing.planner import plan_day, replan

__all__ = ["pin_refusals", "plan_day", "replan"]

_MODULES = {"pin_refusals": "pin_rules", "plan_day": "planner", "replan": "planner"}


def __getattr__(name: str) -> Any:
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULES[name]}"), name)
