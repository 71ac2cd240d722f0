"""Addresses of sites, stands and zones."""

from django.urls import path

from reedcrew.stands.views import checks, sites, stands, zones

app_name = "stands"
urlpatterns = [
    path("g/<slug:slug>/stands/", stands.stands, name="stands"),
    path("g/<slug:slug>/stands/<int:pk>/", stands.stand, name="stand"),
    path("g/<slug:slug>/stands/<int:pk>/change/", stands.change_stand, name="change_stand"),
    path("g/<slug:slug>/stands/<int:pk>/check/", checks.record_check, name="record_check"),
    path("g/<slug:slug>/stands/<int:pk>/zones/new/", zones.record_zone, name="record_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/", zones.change_zone, name="change_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/remove/", zones.remove_zone, name="remove_zone"),
    path("g/<slug:slug>/stands/sites/new/", sites.record_site, name="record_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/", sites.site, name="site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/change/", sites.change_site, name="change_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/stands/new/", sites.record_stand, name="record_stand"),
    path("g/<slug:slug>/stands/sites/<int:pk>/level/", sites.record_water_level, name="record_water_level"),
]
