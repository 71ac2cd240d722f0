"""Addresses of the web app."""

from django.urls import path

from reedcrew.web import views

app_name = "web"
urlpatterns = [
    path("mail/", views.mail, name="mail"),
    path("mail/<str:name>/", views.mail_message, name="mail_message"),
    path("mail/<str:name>/file", views.mail_download, name="mail_download"),
]
