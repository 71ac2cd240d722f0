"""Addresses of the help app."""

from django.urls import path

from reedcrew.help import views

app_name = "help"
urlpatterns = [
    path("help/", views.index, name="index"),
    path("help/words/", views.words, name="words"),
    path("help/<slug:topic>/", views.topic, name="topic"),
]
