"""Answers to machines: does the process live, can it work, what are its numbers.

They stand before everything else of the site: whoever probes speaks to one process by its address, without the site's
name, https or a session.
"""

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed, HttpResponseNotFound, JsonResponse
from django.utils.crypto import constant_time_compare
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest

from reedcrew.operation import metrics, parts


def healthz(request: HttpRequest) -> HttpResponse:
    """This process lives and answers. It asks nobody else: a database that is away is no reason to restart it."""
    return JsonResponse({"status": "alive"})


def readyz(request: HttpRequest) -> HttpResponse:
    """Whether requests may be sent here: 200, or 503 with the parts that fail."""
    faults = parts.faults()
    status = {"status": "ready" if not faults else "not ready"}
    return JsonResponse(
        status | {"parts": {name: faults.get(name, "ok") for name in parts.CHECKS}}, status=503 if faults else 200
    )


def numbers(request: HttpRequest) -> HttpResponse:
    """The metrics, for this machine itself and for who shows METRICS_TOKEN; absent for everyone else."""
    if not (_has_token(request) or _is_of_this_machine(request)):
        return HttpResponseNotFound()
    return HttpResponse(generate_latest(metrics.registry()), content_type=CONTENT_TYPE_LATEST)


PROBES: dict[str, Callable[[HttpRequest], HttpResponse]] = {
    "/healthz": healthz,
    "/readyz": readyz,
    "/metrics": numbers,
}


class ProbeMiddleware:
    """Answers the addresses of PROBES, and passes everything else on."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        probe = PROBES.get(request.path_info)
        if probe is None:
            return self.get_response(request)
        answer = probe(request) if request.method in {"GET", "HEAD"} else HttpResponseNotAllowed(["GET", "HEAD"])
        answer["Cache-Control"] = "no-store"
        return answer


def _has_token(request: HttpRequest) -> bool:
    told = request.headers.get("Authorization", "")
    return bool(settings.METRICS_TOKEN) and constant_time_compare(told, f"Bearer {settings.METRICS_TOKEN}")


def _is_of_this_machine(request: HttpRequest) -> bool:
    """From loopback and not passed on: behind a proxy of the same machine every visitor comes from there."""
    if any(name in request.headers for name in ("X-Forwarded-For", "X-Forwarded-Proto", "Forwarded", "Via")):
        return False
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:  # a socket file has no address
        return False
