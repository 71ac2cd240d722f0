"""Addresses of work days: the group's own pages, and the public page under /d/."""

from django.urls import path

from reedcrew.workdays import public_views, several_views, views

app_name = "workdays"
urlpatterns = [
    path("g/<slug:slug>/days/", views.days, name="days"),
    path("g/<slug:slug>/days/new/", views.post_day, name="post_day"),
    path("g/<slug:slug>/days/season/", views.season, name="season"),
    path("g/<slug:slug>/days/several/", several_views.post_several, name="post_several"),
    path("g/<slug:slug>/days/posted/", several_views.posted, name="posted"),
    path("g/<slug:slug>/days/take-back/", several_views.take_back, name="take_back"),
    path("g/<slug:slug>/days/<int:pk>/again/", several_views.post_again, name="post_again"),
    path("g/<slug:slug>/days/<int:pk>/", views.day, name="day"),
    path("g/<slug:slug>/days/<int:pk>/roster/", views.roster, name="roster"),
    path("g/<slug:slug>/days/<int:pk>/edit/", views.edit_day, name="edit_day"),
    path("g/<slug:slug>/days/<int:pk>/cancel/", views.cancel_day, name="cancel_day"),
    path("g/<slug:slug>/days/<int:pk>/roster/<int:sign_up>/withdraw/", views.withdraw_other, name="withdraw_other"),
    path("g/<slug:slug>/days/<int:pk>/roster/<int:sign_up>/place/", views.give_place, name="give_place"),
    path("g/<slug:slug>/days/<int:pk>/marks/<int:mark>/seen/", views.see_mark, name="see_mark"),
    path("me/days/", public_views.my_days, name="my_days"),
    path("d/<slug:code>/", public_views.public_day, name="public"),
    path("d/<slug:code>/sign-up/", public_views.sign_up, name="sign_up"),
    path("d/<slug:code>/take/<int:sign_up>/", public_views.take_place, name="take_place"),
    path("d/<slug:code>/withdraw/<int:sign_up>/", public_views.withdraw, name="withdraw"),
    path("d/<slug:code>/after-all/<int:sign_up>/", public_views.come_after_all, name="come_after_all"),
]
