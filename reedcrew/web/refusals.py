"""The answer to a refusal or an outage that no form caught: a page, or for htmx the notice alone."""

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from reedcrew.web.errors import ReedcrewError
from reedcrew.web.outages import Outage


def refusal_response(
    request: HttpRequest, error: ReedcrewError, page: str, context: dict[str, object], *, bare: bool = False
) -> HttpResponse:
    """The template ``page`` with ``error`` and ``context``, and the error's status. Retry-After (RFC 9110, 10.2.3) for
    an outage. A request by htmx gets the notice, sent to the message area, so that its page keeps all that was entered.
    A ``bare`` page asks nothing of the request.
    """
    by_htmx = "HX-Request" in request.headers
    template = "web/_refusal.html" if by_htmx else page
    html = render_to_string(template, {"error": error, **context}, None if bare else request)
    answer = HttpResponse(html, status=error.status)
    if by_htmx:
        answer["HX-Retarget"] = "#messages"
        answer["HX-Reswap"] = "innerHTML show:top"
    if isinstance(error, Outage):
        answer["Retry-After"] = str(error.retry_s)
    answer["Reedcrew-Refusal"] = error.code
    return answer
