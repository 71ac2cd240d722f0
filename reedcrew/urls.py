"""All addresses of the site. Pages of a group stand under /g/<its slug>/."""

from django.urls import include, path

urlpatterns = [
    path("", include("reedcrew.people.urls")),  # before allauth's: it closes the pages for passwords and sign-up
    path("accounts/", include("allauth.urls")),
    path("", include("reedcrew.web.urls")),
    path("", include("reedcrew.help.urls")),
    path("", include("reedcrew.stands.urls")),
    path("", include("reedcrew.stock.urls")),
    path("", include("reedcrew.workdays.urls")),
    path("", include("reedcrew.crews.urls")),
    path("", include("reedcrew.invites.urls")),
    path("", include("reedcrew.fieldbook.urls")),
    path("", include("reedcrew.grants.urls")),
    path("", include("reedcrew.operation.urls")),
    path("", include("reedcrew.api.urls")),
]

handler500 = "reedcrew.web.views.fault"
