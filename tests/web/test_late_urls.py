"""Addresses whose module is loaded by the first that is asked for, not with the others."""

import pytest
from django.http import HttpRequest, HttpResponse
from django.urls import Resolver404, URLResolver, path, resolve, reverse
from django.urls.resolvers import RegexPattern

from reedcrew.web.late_urls import LateAddresses


def page(request: HttpRequest) -> HttpResponse:
    return HttpResponse("now")


@pytest.fixture
def site() -> URLResolver:
    """A site with one address of its own, and others in a module that there is not: loading it would be noticed."""
    late = LateAddresses("late/", "tests.web.urls_that_nobody_wrote", namespace="late")
    return URLResolver(RegexPattern(r"^/"), [late, path("now/", page, name="now")])


def test_names_and_other_addresses_are_found_without_the_late_ones(site: URLResolver) -> None:
    assert site.reverse("now") == "now/"
    assert site.resolve("/now/").url_name == "now"
    with pytest.raises(Resolver404):
        site.resolve("/elsewhere/")


def test_a_late_address_that_is_asked_for_loads_its_module(site: URLResolver) -> None:
    with pytest.raises(ModuleNotFoundError, match="urls_that_nobody_wrote"):
        site.resolve("/late/anything/")


def test_late_addresses_are_found_by_path_and_by_name() -> None:
    assert resolve("/api/v1/days/7").view_name == "api:v1:day"
    assert reverse("api:v1:day", args=[7]) == "/api/v1/days/7"
