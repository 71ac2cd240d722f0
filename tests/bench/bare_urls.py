"""The addresses of the site, and one more: a page with the base template alone."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import include, path


def bare(request: HttpRequest) -> HttpResponse:
    return render(request, "web/page.html")


urlpatterns = [path("bare/", bare), path("", include("reedcrew.urls"))]
