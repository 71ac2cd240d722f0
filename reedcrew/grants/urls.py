"""Addresses of the hours ledger and of grants."""

from django.urls import path

from reedcrew.grants.views import grants, hours, open_data

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
    path("g/<slug:slug>/open-data/", open_data.open_data, name="open_data"),
    path("g/<slug:slug>/open-data/choose/", open_data.change_open_data, name="change_open_data"),
    path("g/<slug:slug>/open-data/darwin-core.zip", open_data.darwin_core, name="darwin_core"),
    path("g/<slug:slug>/open-data/stands.geojson", open_data.stands_geojson, name="stands_geojson"),
]
