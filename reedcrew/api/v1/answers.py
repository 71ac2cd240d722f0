"""What surrounds every answer of the API: HEAD, entity tag, quota, and a problem for a method that there is not."""

import hashlib
from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import get_conditional_response, patch_vary_headers
from django.views.decorators.csrf import csrf_exempt

from reedcrew.api.v1.access import Quota
from reedcrew.api.v1.problems import Kind, Problem, answer
from reedcrew.web import amounts

View = Callable[..., HttpResponse]


def complete(view: View) -> View:
    """Complete the answers of a view of the API. They are in English and metric, whatever a browser asks for.

    The entity tag is that of the octets: a program that has them already gets 304 and no body (RFC 9110, 13.1.2).
    """

    @wraps(view)
    def completed(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        is_head = request.method == "HEAD"
        if is_head:  # answered as GET; whoever sends the answer leaves the body out
            request.method = "GET"
        with translation.override("en"), amounts.shown(with_customary=False):
            found = view(request, *args, **kwargs)
        if is_head:
            request.method = "HEAD"
        if found.status_code == Kind.METHOD.status:
            problem = Problem(
                Kind.METHOD, "This address is for reading: ask it by GET.", headers={"Allow": "GET, HEAD"}
            )
            found = answer(problem)
        patch_vary_headers(found, ["Authorization"])
        found["Cache-Control"] = "private, no-cache"
        quota: Quota | None = getattr(request, "quota", None)
        for name, value in quota.headers.items() if quota else ():
            found[name] = value
        if found.status_code != 200:
            return found
        etag = f'"{hashlib.sha256(found.content).hexdigest()[:32]}"'
        found["ETag"] = etag
        return get_conditional_response(request, etag=etag, response=found) or found

    return csrf_exempt(completed)  # no cookie is asked for: the token is the permission
