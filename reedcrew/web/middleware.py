"""Around every view: the request's id, line and numbers; and a page for a refusal that no form caught."""

import logging
import re
import uuid
from collections.abc import Callable
from time import perf_counter

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from reedcrew.web import metrics
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.forms.photos import PHOTOS_MAX
from reedcrew.web.logs import request_id
from reedcrew.web.photos import FILE_BYTES_MAX
from reedcrew.web.refusals import refusal_response
from reedcrew.web.ways import way_back

logger = logging.getLogger(__name__)
requests = logging.getLogger("reedcrew.requests")

# What proxies write: 32 hexadecimal digits, or a UUID (RFC 9562). Anything else could be a message to our logs.
REQUEST_ID = re.compile(r"[0-9a-fA-F]{32}|[0-9a-fA-F]{8}(?:-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")


class RequestMiddleware:
    """Gives each request an id, the proxy's where it has one, and notes how it was answered: one line, two numbers.

    The line names the view, never the address that was asked for: addresses may hold what only their receiver knows.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        told = request.headers.get("X-Request-ID", "")
        own = told if REQUEST_ID.fullmatch(told) else uuid.uuid4().hex
        token = request_id.set(own)
        begun = perf_counter()
        try:
            answer = self.get_response(request)
            seconds, view = perf_counter() - begun, metrics.view_of(request)
            metrics.observe(view=view, status=answer.status_code, seconds=seconds)
            if view != "static":
                fields = {"method": request.method, "view": view, "status": answer.status_code, "ms": seconds * 1000}
                requests.info("%(method)s %(view)s: %(status)d in %(ms).0f ms", fields, extra={"fields": fields})
        finally:
            request_id.reset(token)
        answer["X-Request-ID"] = own
        return answer


class BodyLimitMiddleware:
    """Refuses a body that no form of the site sends, before a byte of it is read: 413.

    The largest body is a form full of photos; whoever is not signed in sends none, so their limit is lower.
    """

    LARGEST = PHOTOS_MAX * FILE_BYTES_MAX + 2**20
    LARGEST_OF_STRANGERS = 2**20

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        length = request.META.get("CONTENT_LENGTH") or "0"
        stranger = settings.SESSION_COOKIE_NAME not in request.COOKIES
        limit = self.LARGEST_OF_STRANGERS if stranger else self.LARGEST
        if not (length.isascii() and length.isdigit()) or int(length) > limit:
            refused = render(request, "413.html", {"limit": limit // 2**20}, status=413)
            refused["Connection"] = "close"  # what is still on its way is not waited for
            return refused
        return self.get_response(request)


class RefusalMiddleware:
    """Answers an uncaught ReedcrewError with its status and its sentence; every other exception stays what it is."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """The answer to a refusal, None for any other exception."""
        if not isinstance(exception, ReedcrewError):
            return None
        logger.info("Refused %s %s: %s", request.method, request.path, exception.code)
        return refusal_response(request, exception, "web/refusal.html", {"back": way_back(request)})
