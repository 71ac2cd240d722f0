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

# The group forgets a person who has left: receivers delete or empty what names them, or follows an address of theirs.
# Sends: member, account (theirs until now; None of a child), name (as it was), addresses (theirs, in lower case; empty
# where a child's guardian has mail), now.
member_erased = Signal()

# An account is given up; its memberships are erased already. Sends: account, addresses, now.
account_erased = Signal()

# A value of the group's rules changed. Sends: group, actor, now.
policy_changed = Signal()
