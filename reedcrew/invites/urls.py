"""Addresses of the invites app."""

from django.urls import URLPattern, URLResolver

app_name = "invites"
urlpatterns: list[URLPattern | URLResolver] = []
