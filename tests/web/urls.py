"""Pages that the tests of the frame need: the site's own, and some that refuse or break."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import include, path

from reedcrew.urls import urlpatterns as of_the_site
from reedcrew.web.errors import ReedcrewError


class DayIsFull(ReedcrewError):
    code = "day_full"
    sentence = "All %(places)s places are <taken>."
    status = 409


def refuse(request: HttpRequest) -> HttpResponse:
    raise DayIsFull(places=12)


def forbid(request: HttpRequest) -> HttpResponse:
    raise PermissionDenied


def crash(request: HttpRequest) -> HttpResponse:
    raise ZeroDivisionError("secret detail")


def post(request: HttpRequest) -> HttpResponse:
    return render(request, "web/page.html")


urlpatterns = [
    path("refuse/", refuse),
    path("forbid/", forbid),
    path("crash/", crash),
    path("post/", post),
    path("group/<slug:slug>/days/", post, name="test_group_days"),
    path("group/<slug:slug>/days/<int:pk>/", post),
    path("", include(of_the_site)),
]
