"""Answers keep to the description, whatever is asked: questions that schemathesis makes by it and against it."""

import pytest
import time_machine
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from hypothesis import HealthCheck, Phase, given, settings

from reedcrew.wsgi import application
from tests.api.rows import make_bay, make_token
from tests.factories import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.once]

QUESTIONS = 6  # of each address and kind


@pytest.fixture
def site(settings):
    """The site as a WSGI program, with nobody slowed down, in the transaction of the test."""
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.dummy.DummyCache"}}
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield application
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.mark.filterwarnings("default")  # of the packages that only this test loads
def test_answers_keep_to_the_description(site):
    import schemathesis  # takes two seconds that no other run should pay
    from schemathesis import GenerationMode
    from schemathesis.specs.openapi.checks import ignored_auth  # asks each question twice more; test_tokens asks once

    with time_machine.travel(NOW, tick=False):
        _token, secret = make_token(make_bay().organizer)
        described = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", site)
        asked = []
        for found in described.get_all_operations():
            for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):

                @settings(
                    max_examples=QUESTIONS,
                    phases=[Phase.generate],
                    database=None,
                    suppress_health_check=list(HealthCheck),
                )
                @given(case=found.ok().as_strategy(generation_mode=mode))  # type: ignore[union-attr]
                def ask(case):
                    shown = {"Authorization": f"Bearer {secret}"}
                    answer = case.call_and_validate(headers=shown, excluded_checks=[ignored_auth])
                    asked.append((case.operation.path, answer.status_code))

                ask()
    reached = {path for path, status in asked if status == 200}
    assert {"/api/v1/stands", "/api/v1/days", "/api/v1/plans", "/api/v1/hours", "/api/v1/token"} <= reached
