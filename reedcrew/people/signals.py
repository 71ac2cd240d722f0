"""What happens to the people of a group, told inside the transaction that makes it happen.

Receivers write rows of their own and wake workers; they never send mail or plan inside the transaction.
"""

from django.dispatch import Signal

# Somebody became a member, also after having left. Sends: member, actor, now.
member_joined = Signal()

# What a plan rests on changed: profile, wishes, role, guardian, lead or earlier water days. Sends: member, actor, now.
member_changed = Signal()

# A member left the group; sent for each child that left with a guardian as well. Sends: member, actor, now.
member_left = Signal()

# A value of the group's rules changed. Sends: group, actor, now.
policy_changed = Signal()
