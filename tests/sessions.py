"""Sessions of people who are signed in, for browsers and clients that are not Django's own."""

import datetime
from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.utils import timezone

if TYPE_CHECKING:
    from django.contrib.auth.base_user import AbstractBaseUser  # a model: not before Django is set up


def session_of(account: "AbstractBaseUser") -> str:
    """The key of a new session in which the account is signed in, without the pages and the notes of a sign-in."""
    session = SessionStore()
    session[SESSION_KEY] = str(account.pk)
    session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
    session[HASH_SESSION_KEY] = account.get_session_auth_hash()
    session.save()
    return str(session.session_key)


def used_session(account: "AbstractBaseUser") -> str:
    """The same of somebody who has just looked at a page, and counts as that for the next hour: nothing is noted."""
    from allauth.usersessions.models import UserSession  # a model, too

    key = session_of(account)
    seen = timezone.now() + datetime.timedelta(hours=1)
    UserSession.objects.create(user=account, session_key=key, ip="127.0.0.1", user_agent="", last_seen_at=seen)
    return key
