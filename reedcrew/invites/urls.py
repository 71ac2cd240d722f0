"""Addresses of the outbox, the inbox and the links in mails."""

from django.urls import path

from reedcrew.invites.views import answers, inbox, outbox

app_name = "invites"
urlpatterns = [
    path("g/<slug:slug>/outbox/", outbox.outbox, name="outbox"),
    path("g/<slug:slug>/outbox/<int:pk>/again/", outbox.send_again, name="send_again"),
    path("g/<slug:slug>/inbox/", inbox.inbox, name="inbox"),
    path("g/<slug:slug>/inbox/<int:pk>/seen/", inbox.seen, name="seen"),
    path("g/<slug:slug>/inbox/<int:pk>/address/", inbox.clear_address, name="clear_address"),
    path("answers/<str:token>/", answers.answer, name="answer"),
]
