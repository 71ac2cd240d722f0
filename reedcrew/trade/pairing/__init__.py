"""Plans a day: who enters water, in which unit, and who does what on shore."""

from reedcrew.trade.pairing.planner import plan_day

__all__ = ["plan_day"]
