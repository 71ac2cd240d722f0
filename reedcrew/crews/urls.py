"""Addresses of the plan of a day."""

from django.urls import path

from reedcrew.crews import views

app_name = "crews"
urlpatterns = [
    path("g/<slug:slug>/days/<int:pk>/plan/", views.plan, name="plan"),
    path("g/<slug:slug>/days/<int:pk>/plan/now/", views.plan_now, name="plan_now"),
    path("g/<slug:slug>/days/<int:pk>/plan/accept/<int:plan>/", views.accept, name="accept"),
    path("g/<slug:slug>/days/<int:pk>/plan/pin/", views.pin, name="pin"),
    path("g/<slug:slug>/days/<int:pk>/plan/pin/<int:pin>/remove/", views.unpin, name="unpin"),
]
