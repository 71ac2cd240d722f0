"""Addresses of the hours ledger and of grants."""

from django.urls import path

from reedcrew.grants.views import grants, hours

app_name = "grants"
urlpatterns = [
    path("g/<slug:slug>/hours/", hours.hours, name="hours"),
    path("g/<slug:slug>/hours/hours.csv", hours.hours_csv, name="hours_csv"),
    path("g/<slug:slug>/hours/stems.csv", hours.stems_csv, name="stems_csv"),
    path("g/<slug:slug>/hours/<int:pk>/correct/", hours.correct, name="correct"),
    path("g/<slug:slug>/grants/", grants.grants, name="grants"),
    path("g/<slug:slug>/grants/new/", grants.new_grant, name="new_grant"),
    path("g/<slug:slug>/grants/<int:pk>/", grants.grant, name="grant"),
    path("g/<slug:slug>/grants/<int:pk>/edit/", grants.edit_grant, name="edit_grant"),
    path("g/<slug:slug>/grants/<int:pk>/claim/", grants.claim, name="claim"),
]
