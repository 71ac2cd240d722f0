"""Addresses of the API's first version, each completed by ``v1.answers``."""

from django.urls import URLPattern, path

from reedcrew.api.v1.answers import complete
from reedcrew.api.v1.description import openapi
from reedcrew.api.v1.routes import api

routes, _app_name, _namespace = api.urls
urlpatterns = [path("openapi.json", openapi, name="openapi")]
urlpatterns += [
    path(str(route.pattern), complete(route.callback), name=route.name)
    for route in routes
    if isinstance(route, URLPattern) and route.name and str(route.pattern)  # ninja's own page at the root shows nothing
]
