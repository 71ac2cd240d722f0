"""Addresses of the stock."""

from django.urls import path

from reedcrew.stock import views

app_name = "stock"
urlpatterns = [
    path("g/<slug:slug>/stock/", views.stock, name="stock"),
    path("g/<slug:slug>/stock/new/", views.add_line, name="add_line"),
    path("g/<slug:slug>/stock/<int:pk>/", views.line, name="line"),
    path("g/<slug:slug>/stock/<int:pk>/movements/new/", views.record_movement, name="record_movement"),
]
