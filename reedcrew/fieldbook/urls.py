"""Addresses of the fieldbook app."""

from django.urls import URLPattern, URLResolver

app_name = "fieldbook"
urlpatterns: list[URLPattern | URLResolver] = []
