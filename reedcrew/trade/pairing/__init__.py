"""Plans a day: who enters water, in which unit, and who does what on shore."""

from reedcrew.trade.pairing.pin_rules import pin_refusals
from reedcrew.trade.pairing.planner import plan_day, replan

__all__ = ["pin_refusals", "plan_day", "replan"]
