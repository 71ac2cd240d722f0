"""Addresses of sites, stands and zones."""

from django.urls import path

from reedcrew.stands import site_views, views

app_name = "stands"
urlpatterns = [
    path("g/<slug:slug>/stands/", views.stands, name="stands"),
    path("g/<slug:slug>/stands/<int:pk>/", views.stand, name="stand"),
    path("g/<slug:slug>/stands/<int:pk>/change/", views.change_stand, name="change_stand"),
    path("g/<slug:slug>/stands/<int:pk>/check/", views.record_check, name="record_check"),
    path("g/<slug:slug>/stands/<int:pk>/zones/new/", views.record_zone, name="record_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/", views.change_zone, name="change_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/remove/", views.remove_zone, name="remove_zone"),
    path("g/<slug:slug>/stands/sites/new/", site_views.record_site, name="record_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/", site_views.site, name="site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/change/", site_views.change_site, name="change_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/stands/new/", site_views.record_stand, name="record_stand"),
    path("g/<slug:slug>/stands/sites/<int:pk>/level/", site_views.record_water_level, name="record_water_level"),
]
