"""Addresses of the grants app."""

from django.urls import URLPattern, URLResolver

app_name = "grants"
urlpatterns: list[URLPattern | URLResolver] = []
