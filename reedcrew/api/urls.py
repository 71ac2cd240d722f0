"""Addresses of tokens and webhooks, of the page that explains them, and of the API.

The API's own addresses are read when the first program asks for one: django-ninja with pydantic takes a good half of
the time that all other addresses take to load, and most processes never answer a program.
"""

from django.urls import URLPattern, URLResolver, path

from reedcrew.api.views import guide, tokens, webhooks
from reedcrew.web.late_urls import LateAddresses

app_name = "api"

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/", guide.guide, name="guide"),
    LateAddresses("api/v1/", "reedcrew.api.v1.urls", namespace="v1"),
    path("g/<slug:slug>/programs/", tokens.programs, name="programs"),
    path("g/<slug:slug>/programs/tokens/new/", tokens.new_token, name="new_token"),
    path("g/<slug:slug>/programs/tokens/<int:pk>/revoke/", tokens.revoke, name="revoke_token"),
    path("g/<slug:slug>/programs/webhooks/new/", webhooks.new_webhook, name="new_webhook"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/", webhooks.webhook, name="webhook"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/secret/", webhooks.new_secret, name="new_secret"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/trial/", webhooks.trial, name="trial"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/pause/", webhooks.pause, name="pause_webhook"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/resume/", webhooks.resume, name="resume_webhook"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/remove/", webhooks.remove, name="remove_webhook"),
    path("g/<slug:slug>/programs/webhooks/<int:pk>/restore/", webhooks.restore, name="restore_webhook"),
    path(
        "g/<slug:slug>/programs/webhooks/<int:pk>/messages/<int:delivery>/again/",
        webhooks.send_again,
        name="send_again",
    ),
]
