"""The fieldbook on a phone without a network: one shell for every day, its service worker and its manifest."""

import hashlib
import json
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET

from reedcrew.fieldbook.phone_words import words
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.workdays.views import fetch_day

SHEETS = (
    *("web/tokens.css", "web/base.css", "web/layout.css", "web/elements.css", "web/forms.css", "web/day.css"),
    "fieldbook/phone.css",
)
PICTURES = ("web/mark.svg", "web/icons.svg")
WORKER = "fieldbook/worker.js"
ENTRANCE = "fieldbook/main.js"
NOT_OF_THE_SHELL = (WORKER, "fieldbook/leaving.js")


def _found(name: str) -> Path:
    """Where a static file of ours lies; it came with the code."""
    found = finders.find(name)
    if not isinstance(found, str):
        raise FileNotFoundError(name)
    return Path(found)


def _files() -> list[str]:
    """The static files that the shell needs, by name: sheets, pictures and every script."""
    folder = _found(ENTRANCE).parent
    scripts = sorted(f"fieldbook/{path.relative_to(folder).as_posix()}" for path in folder.rglob("*.js"))
    return [*SHEETS, *PICTURES, *(name for name in scripts if name not in NOT_OF_THE_SHELL)]


def _address(name: str) -> str:
    """Where a file is asked for: scripts import one another by their plain names, all else goes by the hashed one."""
    return f"{settings.STATIC_URL}{name}" if name.endswith(".js") and name != ENTRANCE else static(name)


def _shell() -> str:
    """The same for everybody: it knows neither reader nor day, so that a phone may keep it."""
    return render_to_string("fieldbook/phone.html", {"words": words(), "sheets": SHEETS})


@require_GET
@gzip_page  # nothing secret is in it that a length could betray
@group_page(Deed.RUN_DAY)
def phone(request: GroupRequest, pk: int) -> HttpResponse:
    """The fieldbook of a day; its scripts fetch the day and keep it."""
    fetch_day(request, pk)
    return HttpResponse(_shell())


@require_GET
@gzip_page
@group_page(Deed.RUN_DAY)
def phone_days(request: GroupRequest) -> HttpResponse:
    """The days that this phone keeps: where an installed fieldbook starts."""
    return HttpResponse(_shell())


@require_GET
@gzip_page
def shell(request: HttpRequest) -> HttpResponse:
    """What the service worker keeps. Public: it holds nothing of anybody."""
    return HttpResponse(_shell())


@require_GET
@gzip_page
@never_cache
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, which has another text as soon as one of the files that it keeps has."""
    page, files = _shell(), _files()
    digest = hashlib.sha256(page.encode())
    for name in files:
        digest.update(_found(name).read_bytes())
    kept = {
        "version": digest.hexdigest()[:16],
        "shell": reverse("fieldbook:shell"),
        "files": [_address(name) for name in files],
    }
    script = f"self.fieldbook = {json.dumps(kept)};\n{_found(WORKER).read_text()}"
    return HttpResponse(
        script, content_type="text/javascript; charset=utf-8", headers={"Service-Worker-Allowed": "/g/"}
    )


@require_GET
@group_page(Deed.RUN_DAY)
def manifest(request: GroupRequest) -> HttpResponse:
    """How the fieldbook of a group stands on a phone's first screen (W3C, Web Application Manifest)."""
    start = reverse("fieldbook:phone_days", args=[request.group.slug])
    return JsonResponse(
        {
            "id": start,
            "name": _("Fieldbook of %(group)s") % {"group": request.group.name},
            "short_name": _("Fieldbook"),
            "start_url": start,
            "scope": start.removesuffix("field/"),
            "display": "standalone",
            "background_color": "#f4f6ef",
            "theme_color": "#12342a",
            "icons": [{"src": static("web/mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
        },
        content_type="application/manifest+json",
    )
