"""All addresses of the site, and the least that a view can do which keeps something."""

from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.urls import include, path
from django.views.decorators.csrf import csrf_exempt

BARE_TABLE = "CREATE TABLE bench_bare (id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, at timestamptz NOT NULL)"


@csrf_exempt
def bare(request: HttpRequest) -> HttpResponse:
    """One row in one transaction."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("INSERT INTO bench_bare (at) VALUES (now())")
    return HttpResponse(b"kept")


urlpatterns = [path("bare/", bare), path("", include("reedcrew.urls"))]
