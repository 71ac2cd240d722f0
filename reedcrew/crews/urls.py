"""Addresses of the crews app."""

from django.urls import URLPattern, URLResolver

app_name = "crews"
urlpatterns: list[URLPattern | URLResolver] = []
