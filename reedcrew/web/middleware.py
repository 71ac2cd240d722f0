"""Turns a refusal that no form caught into a page with its sentence and a way back."""

import logging
from collections.abc import Callable
from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

from reedcrew.web.errors import ReedcrewError

logger = logging.getLogger(__name__)


class RefusalMiddleware:
    """Answers an uncaught ReedcrewError with its status and its sentence; every other exception stays what it is.

    A request by htmx gets the notice alone, sent to the message area, so that the page keeps all that was entered.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """The answer to a refusal, None for any other exception."""
        if not isinstance(exception, ReedcrewError):
            return None
        logger.info("Refused %s %s: %s", request.method, request.path, exception.code)
        context = {"error": exception, "back": _way_back(request)}
        if getattr(request, "htmx", False):
            answer = render(request, "web/_refusal.html", context, status=exception.status)
            answer["HX-Retarget"] = "#messages"
            answer["HX-Reswap"] = "innerHTML show:top"
        else:
            answer = render(request, "web/refusal.html", context, status=exception.status)
        answer["Reedcrew-Refusal"] = exception.code
        return answer


def _way_back(request: HttpRequest) -> str:
    """The page that the reader came from, when it is one of this site; else the first page."""
    referer = request.headers.get("Referer", "")
    if url_has_allowed_host_and_scheme(referer, {request.get_host()}, require_https=request.is_secure()):
        parts = urlsplit(referer)
        return parts.path + (f"?{parts.query}" if parts.query else "")
    return "/"
