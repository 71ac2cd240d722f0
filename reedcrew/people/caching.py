"""What a browser may keep of pages of somebody signed in."""

import re
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

SIGN_OUT = "account_logout"
# Something to fill in: a browser that may not store a page forgets what was typed when its reader goes back to it.
_TO_FILL_IN = re.compile(rb"<(?:textarea|select)\b|<input\b(?![^>]*\btype=\"(?:hidden|submit)\")")


class CachingMiddleware:
    """``no-store`` on every page that comes with a session, so that the next reader of the machine finds none of it.

    A page with something to fill in has ``no-cache`` instead: it is kept for the way back alone. Views that say
    something themselves are left. Signing out empties the browser's cache of this site; what a phone keeps of a day to
    work offline, and has not sent yet, is its own storage and stays.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        answer = self.get_response(request)
        if settings.SESSION_COOKIE_NAME in request.COOKIES and "Cache-Control" not in answer:
            fills_in = not answer.streaming and _TO_FILL_IN.search(answer.content)
            answer["Cache-Control"] = "private, no-cache" if fills_in else "private, no-store"
        match = request.resolver_match
        if match is not None and match.view_name == SIGN_OUT and request.method == "POST":
            answer["Clear-Site-Data"] = '"cache"'
        return answer
