"""Addresses of the operators' pages. Probes and metrics have none: a middleware answers them (operation.probes)."""

from django.urls import path

from reedcrew.operation import views

app_name = "operation"
urlpatterns = [
    path("installation/", views.installation, name="installation"),
]
