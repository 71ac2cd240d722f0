"""Everything that changes plans: making them, accepting and amending them, pinning what an organizer wants of them."""

from reedcrew.crews.services.acceptance import Accepted, accept_plan
from reedcrew.crews.services.pinning import PinFacts, ask_allowed, pin, row_of, unpin
from reedcrew.crews.services.planning import (
    ask_plannable,
    due_days,
    make_due_plan,
    make_plan,
    order_plan,
    plan_or_order,
    withdraw_plans,
)

__all__ = [
    "Accepted",
    "PinFacts",
    "accept_plan",
    "ask_allowed",
    "ask_plannable",
    "due_days",
    "make_due_plan",
    "make_plan",
    "order_plan",
    "pin",
    "plan_or_order",
    "row_of",
    "unpin",
    "withdraw_plans",
]
