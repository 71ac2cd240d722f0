"""Addresses of the stands app."""

from django.urls import URLPattern, URLResolver

app_name = "stands"
urlpatterns: list[URLPattern | URLResolver] = []
