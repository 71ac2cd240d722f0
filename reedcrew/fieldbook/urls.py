"""Addresses of the fieldbook of a day."""

from django.urls import path

from reedcrew.fieldbook import views

app_name = "fieldbook"
DAY = "g/<slug:slug>/days/<int:pk>/field/"
urlpatterns = [
    path(f"{DAY}", views.people, name="people"),
    path(f"{DAY}in/<int:member>/", views.sign_in, name="sign_in"),
    path(f"{DAY}out/<uuid:attendance>/", views.sign_out, name="sign_out"),
    path(f"{DAY}absent/<int:sign_up>/", views.mark_absent, name="mark_absent"),
    path(f"{DAY}absent/<int:sign_up>/undo/", views.mark_present, name="mark_present"),
    path(f"{DAY}walk-up/", views.walk_up, name="walk_up"),
    path(f"{DAY}stems/", views.stems, name="stems"),
    path(f"{DAY}loads/", views.loads, name="loads"),
    path(f"{DAY}strike/attendance/<uuid:entry>/", views.strike, {"kind": "attendance"}, name="strike_attendance"),
    path(f"{DAY}strike/tally/<uuid:entry>/", views.strike, {"kind": "tally"}, name="strike_tally"),
    path(f"{DAY}strike/load/<uuid:entry>/", views.strike, {"kind": "load"}, name="strike_load"),
    path(f"{DAY}emergency/", views.emergency, name="emergency"),
    path(f"{DAY}close/", views.close, name="close"),
]
