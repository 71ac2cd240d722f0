"""Addresses of the plan of a day."""

from django.urls import path

from reedcrew.crews import views
from reedcrew.crews.gear import views as gear
from reedcrew.crews.gear_list import views as gear_list
from reedcrew.crews.paper import views as paper
from reedcrew.crews.weather import views as weather

app_name = "crews"
GEAR = "g/<slug:slug>/days/<int:pk>/gear/"
urlpatterns = [
    path("g/<slug:slug>/days/<int:pk>/plan/", views.plan, name="plan"),
    path("g/<slug:slug>/days/<int:pk>/plan/now/", views.plan_now, name="plan_now"),
    path("g/<slug:slug>/days/<int:pk>/plan/accept/<int:plan>/", views.accept, name="accept"),
    path("g/<slug:slug>/days/<int:pk>/plan/pin/", views.pin, name="pin"),
    path("g/<slug:slug>/days/<int:pk>/plan/pin/<int:pin>/remove/", views.unpin, name="unpin"),
    path("g/<slug:slug>/days/<int:pk>/weather/", weather.weather, name="weather"),
    path("g/<slug:slug>/days/<int:pk>/weather/change/", weather.change_weather, name="change_weather"),
    path("g/<slug:slug>/days/<int:pk>/paper/", paper.paper, name="paper"),
    path(GEAR, gear.gear, name="gear"),
    path(f"{GEAR}list/", gear_list.gear_list, name="gear_list"),
    path(f"{GEAR}book/", gear.book, name="gear_book"),
    path(f"{GEAR}<int:member>/", gear.person, name="gear_person"),
    path(f"{GEAR}<int:member>/out/", gear.hand_out, name="gear_out"),
    path(f"{GEAR}<int:member>/back/", gear.all_back, name="gear_back"),
    path(f"{GEAR}set/<slug:code>/", gear.scanned, name="gear_set"),
]
