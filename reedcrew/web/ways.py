"""The way back to where a reader came from."""

from urllib.parse import urlsplit

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def way_back(request: HttpRequest) -> str:
    """The page that the reader came from, when it is one of this site; else the first page."""
    referer = request.headers.get("Referer", "")
    if url_has_allowed_host_and_scheme(referer, {request.get_host()}, require_https=request.is_secure()):
        parts = urlsplit(referer)
        # A path that began with two slashes would name another site.
        return "/" + parts.path.lstrip("/\\") + (f"?{parts.query}" if parts.query else "")
    return "/"
