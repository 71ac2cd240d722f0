"""What happens to the stock, told inside the transaction that makes it happen."""

from django.dispatch import Signal

# How much of something the group has changed: plans that lend it are due. Sends: group, now.
stock_changed = Signal()
