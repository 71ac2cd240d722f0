"""Addresses of the outbox."""

from django.urls import path

from reedcrew.invites import views

app_name = "invites"
urlpatterns = [
    path("g/<slug:slug>/outbox/", views.outbox, name="outbox"),
    path("g/<slug:slug>/outbox/<int:pk>/again/", views.send_again, name="send_again"),
]
