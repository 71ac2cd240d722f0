"""All addresses of the site. Pages of a group stand under /g/<its slug>/."""

from django.urls import include, path

urlpatterns = [
    path("accounts/", include("allauth.urls")),
    path("", include("reedcrew.web.urls")),
]
