"""What happens to plans, told inside the transaction that makes it happen."""

from django.dispatch import Signal

# A plan was accepted: from now on it is what people are told. Sends: plan, before (the plan told until now, or None),
# members (keys of those who are told something new), actor, now.
plan_accepted = Signal()
