"""What happens to work days, told inside the transaction that makes it happen.

Receivers write rows of their own and wake workers; they never send mail or plan inside the transaction.
"""

from django.dispatch import Signal

# A sign-up got a place, at once or from the waiting list. Sends: sign_up, actor, now, promoted (bool).
sign_up_confirmed = Signal()

# A sign-up was put on the waiting list. Sends: sign_up, actor, now.
sign_up_waits = Signal()

# Somebody of the waiting list is asked whether they take a place that is free. Sends: sign_up, actor, now.
place_offered = Signal()

# Somebody who was asked did not answer in time and is on the waiting list again. Sends: sign_up, now.
offer_lapsed = Signal()

# A confirmed or waiting sign-up was withdrawn. Sends: sign_up, actor, now, was_confirmed (bool).
sign_up_withdrawn = Signal()

# Somebody with a place is about to be marked as absent on the day. Sends: sign_up, actor, now.
sign_up_absent = Signal()

# A day was posted; its zones are set. Sends: day, actor, now.
day_posted = Signal()

# A posted day was edited. Sends: day, actor, now.
day_changed = Signal()

# A posted day was cancelled; its sign-ups stay as they were. Sends: day, actor, now.
day_cancelled = Signal()

# The day was closed after the field work. Sends: day, actor, now.
day_closed = Signal()

# Who takes part, or what the plan rests on, changed: a plan is due. Sends: day, now.
roster_changed = Signal()

# Something went wrong on the day and the organizers must know at once. Sends: day, kind (a word), incident (its id),
# actor, now. What happened is private: it is read on the incident's page alone.
incident_recorded = Signal()
