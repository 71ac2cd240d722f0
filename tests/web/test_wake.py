"""Wake-ups leave after the commit, once each."""

import pytest
from django.db import transaction

from reedcrew.web.wake import wake

pytestmark = pytest.mark.django_db


def test_a_transaction_that_asks_twice_wakes_once(woken, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        wake("crews.plan_due", 1)
        wake("crews.plan_due", 2)
        wake("crews.plan_due", 1)
    assert woken() == [("crews.plan_due", (1,)), ("crews.plan_due", (2,))]


def test_a_transaction_that_fails_wakes_nobody(woken, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        wake("crews.plan_due", 1)
        transaction.set_rollback(True)
    assert woken() == []
