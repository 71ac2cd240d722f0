"""Addresses of the workdays app."""

from django.urls import URLPattern, URLResolver

app_name = "workdays"
urlpatterns: list[URLPattern | URLResolver] = []
