"""When and from where a session was last used, for the page on which a person ends theirs."""

import datetime
import logging
from collections.abc import Callable

from allauth.usersessions.models import UserSession
from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from reedcrew.web.outages import outage_of

logger = logging.getLogger(__name__)

FRESH = datetime.timedelta(minutes=1)  # the page shows minutes


class ActivityMiddleware:
    """Notes the use of a session at most once a minute. Where nothing can be written, whoever only reads still can."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        key = request.session.session_key
        if settings.USERSESSIONS_TRACK_ACTIVITY and key and request.user.is_authenticated:
            agent = request.headers.get("User-Agent", "")
            fresh = UserSession.objects.filter(session_key=key, user=request.user, user_agent=agent)
            if not fresh.filter(last_seen_at__gt=timezone.now() - FRESH).exists():
                _note(request)
        return self.get_response(request)


def _note(request: HttpRequest) -> None:
    try:
        UserSession.objects.create_from_request(request)
    except DatabaseError as error:
        if outage_of(error) is None:
            raise
        logger.warning("The use of a session could not be noted: %s", type(error).__name__)
