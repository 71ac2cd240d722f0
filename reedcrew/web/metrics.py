"""Numbers of the requests for Prometheus: how many by view and answer, and how long they took. Nothing of a person.

Under gunicorn several processes answer: each writes its share into the folder of PROMETHEUS_MULTIPROC_DIR, which
web.gunicorn makes for one start of the web server, and whoever is asked for the numbers adds the shares up.
"""

import os

from django.conf import settings
from django.http import HttpRequest
from prometheus_client import CollectorRegistry, Counter, Histogram
from prometheus_client.multiprocess import MultiProcessCollector

# s; a page within 0.1 s feels immediate, past 10 s people give up (J. Nielsen's response-time limits, from memory)
BUCKETS = (0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10)

_own = CollectorRegistry()
REQUESTS = Counter("reedcrew_requests", "Requests answered.", ["view", "status"], registry=_own)
LATENCY = Histogram("reedcrew_request_seconds", "Time to answer.", ["view"], buckets=BUCKETS, registry=_own)


def view_of(request: HttpRequest) -> str:
    """The name of the view that answered: one of the site's, so that no visitor can make up further ones."""
    if request.resolver_match is not None:
        return request.resolver_match.view_name
    return "static" if request.path.startswith(settings.STATIC_URL) else "none"


def observe(*, view: str, status: int, seconds: float) -> None:
    """Count one request."""
    REQUESTS.labels(view=view, status=str(status)).inc()
    LATENCY.labels(view=view).observe(seconds)


def registry() -> CollectorRegistry:
    """A fresh registry with the numbers of all processes of this web server."""
    whole = CollectorRegistry()
    if "PROMETHEUS_MULTIPROC_DIR" in os.environ:
        MultiProcessCollector(whole)  # type: ignore[no-untyped-call]
    else:
        whole.register(_own)
    return whole
