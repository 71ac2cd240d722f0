"""Addresses of sites, stands and zones."""

from django.urls import path

from reedcrew.stands.views import checks, gauges, history, notices, sites, stands, zones

app_name = "stands"
urlpatterns = [
    path("g/<slug:slug>/stands/", stands.stands, name="stands"),
    path("g/<slug:slug>/stands/<int:pk>/", stands.stand, name="stand"),
    path("g/<slug:slug>/stands/<int:pk>/change/", stands.change_stand, name="change_stand"),
    path("g/<slug:slug>/stands/<int:pk>/check/", checks.record_check, name="record_check"),
    path("g/<slug:slug>/stands/<int:pk>/history/", history.history, name="history"),
    path(
        "g/<slug:slug>/stands/<int:pk>/history/<slug:chart>.<slug:theme>.svg",
        history.history_chart,
        name="history_chart",
    ),
    path("g/<slug:slug>/stands/<int:pk>/zones/new/", zones.record_zone, name="record_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/", zones.change_zone, name="change_zone"),
    path("g/<slug:slug>/stands/<int:pk>/zones/<int:zone>/remove/", zones.remove_zone, name="remove_zone"),
    path("g/<slug:slug>/stands/sites/new/", sites.record_site, name="record_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/", sites.site, name="site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/change/", sites.change_site, name="change_site"),
    path("g/<slug:slug>/stands/sites/<int:pk>/stands/new/", sites.record_stand, name="record_stand"),
    path("g/<slug:slug>/stands/sites/<int:pk>/level/", gauges.record_water_level, name="record_water_level"),
    path("g/<slug:slug>/stands/sites/<int:pk>/levels/", gauges.levels, name="levels"),
    path("g/<slug:slug>/stands/sites/<int:pk>/levels/many/", gauges.record_levels, name="record_levels"),
    path("g/<slug:slug>/stands/sites/<int:pk>/gauges/new/", gauges.record_gauge, name="record_gauge"),
    path("g/<slug:slug>/stands/sites/<int:pk>/gauges/<int:gauge>/", gauges.change_gauge, name="change_gauge"),
    path("g/<slug:slug>/stands/sites/<int:pk>/calendar/", notices.calendar, name="calendar"),
    path("g/<slug:slug>/stands/sites/<int:pk>/notices/", notices.notices, name="notices"),
    path("g/<slug:slug>/stands/sites/<int:pk>/notices/new/", notices.record_notice, name="record_notice"),
    path("g/<slug:slug>/stands/sites/<int:pk>/notices/<int:notice>/", notices.change_notice, name="change_notice"),
    path("g/<slug:slug>/stands/sites/<int:pk>/notices/<int:notice>/end/", notices.end_notice, name="end_notice"),
]
