"""Addresses of the hours ledger and of grants."""

from django.urls import path

from reedcrew.grants import views

app_name = "grants"
urlpatterns = [
    path("g/<slug:slug>/hours/", views.hours, name="hours"),
    path("g/<slug:slug>/hours/hours.csv", views.hours_csv, name="hours_csv"),
    path("g/<slug:slug>/hours/stems.csv", views.stems_csv, name="stems_csv"),
    path("g/<slug:slug>/hours/<int:pk>/correct/", views.correct, name="correct"),
    path("g/<slug:slug>/grants/", views.grants, name="grants"),
    path("g/<slug:slug>/grants/new/", views.new_grant, name="new_grant"),
    path("g/<slug:slug>/grants/<int:pk>/", views.grant, name="grant"),
    path("g/<slug:slug>/grants/<int:pk>/edit/", views.edit_grant, name="edit_grant"),
    path("g/<slug:slug>/grants/<int:pk>/claim/", views.claim, name="claim"),
]
