"""Addresses of the plan of a day."""

from django.urls import path

from reedcrew.crews import views

app_name = "crews"
urlpatterns = [
    path("g/<slug:slug>/days/<int:pk>/plan/", views.plan, name="plan"),
    path("g/<slug:slug>/days/<int:pk>/plan/now/", views.plan_now, name="plan_now"),
]
