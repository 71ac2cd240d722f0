"""All addresses of the site, and the least that a view can do which keeps something."""

from django.contrib.auth.decorators import login_required
from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.urls import include, path

BARE_TABLE = "CREATE TABLE bench_bare (id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, at timestamptz NOT NULL)"


@login_required
def bare(request: HttpRequest) -> HttpResponse:
    """One row in one transaction, for somebody signed in whose form is checked as any other."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("INSERT INTO bench_bare (at) VALUES (now())")
    return HttpResponse(b"kept")


urlpatterns = [path("bare/", bare), path("", include("reedcrew.urls"))]
