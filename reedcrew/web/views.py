"""The mail of an installation that has no mail server, and the page of a fault."""

import sys
from pathlib import Path

from django.conf import settings
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from django.views.defaults import server_error

from reedcrew.web import mailfolder
from reedcrew.web.outages import outage_of
from reedcrew.web.refusals import refusal_response

MAILS_PER_PAGE = 25


@require_safe
@never_cache
def mail(request: HttpRequest) -> HttpResponse:
    """The stored mail, newest first."""
    folder = _mail_folder()
    page = Paginator(mailfolder.names(folder), MAILS_PER_PAGE).get_page(request.GET.get("page"))
    mails = [mailfolder.read(path) for name in page if (path := mailfolder.path_of(folder, name)) is not None]
    return render(request, "web/mail.html", {"page": page, "mails": mails})


@require_safe
@never_cache
def mail_message(request: HttpRequest, name: str) -> HttpResponse:
    """One stored message: who, what, its text and its calendar part."""
    return render(request, "web/mail_message.html", {"mail": mailfolder.read(_mail_path(name))})


@require_safe
@never_cache
def mail_download(request: HttpRequest, name: str) -> FileResponse:
    """The message as the file that a mail program opens."""
    path = _mail_path(name)
    return FileResponse(path.open("rb"), as_attachment=True, filename=path.name, content_type="message/rfc822")


def fault(request: HttpRequest) -> HttpResponse:
    """What Django answers to an exception that nobody caught: 503 for an outage, else 500. Needs no database."""
    outage = outage_of(sys.exc_info()[1])
    if outage is None:
        return server_error(request)
    return refusal_response(request, outage, "503.html", {}, bare=True)


def _mail_folder() -> Path:
    """The folder of stored mail. Absent for everyone where a mail server delivers."""
    if not settings.MAIL_PAGE:
        raise Http404
    return Path(settings.MAIL_DIR)


def _mail_path(name: str) -> Path:
    path = mailfolder.path_of(_mail_folder(), name)
    if path is None:
        raise Http404
    return path
