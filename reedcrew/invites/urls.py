"""Addresses of the outbox, the inbox, calendars to subscribe to, and the links in mails."""

from django.urls import path

from reedcrew.invites.views import answers, feeds, inbox, messages, outbox

app_name = "invites"
urlpatterns = [
    path("g/<slug:slug>/outbox/", outbox.outbox, name="outbox"),
    path("g/<slug:slug>/outbox/<int:pk>/", outbox.mail, name="mail"),
    path("g/<slug:slug>/outbox/<int:pk>/again/", outbox.send_again, name="send_again"),
    path("g/<slug:slug>/inbox/", inbox.inbox, name="inbox"),
    path("g/<slug:slug>/inbox/<int:pk>/seen/", inbox.seen, name="seen"),
    path("g/<slug:slug>/inbox/<int:pk>/address/", inbox.clear_address, name="clear_address"),
    path("g/<slug:slug>/calendar/", feeds.group_calendar, name="group_calendar"),
    path("g/<slug:slug>/calendar/keep/", feeds.keep_group_calendar, name="keep_group_calendar"),
    path("g/<slug:slug>/days/<int:pk>/write/", messages.write, name="write"),
    path("g/<slug:slug>/days/<int:pk>/write/<int:message>/take-back/", messages.take_back, name="take_back"),
    path("me/mail/", feeds.mail_and_calendar, name="mail_and_calendar"),
    path("me/mail/choose/", feeds.choose, name="choose"),
    path("me/mail/address/", feeds.make_address, name="make_address"),
    path("me/mail/address/revoke/", feeds.revoke_address, name="revoke_address"),
    path("d/<slug:code>/day.ics", feeds.of_day, name="day_file"),
    path("feed/<str:token>.ics", feeds.personal, name="feed"),
    path("calendar/<str:code>.ics", feeds.of_group, name="group_feed"),
    path("unsubscribe/<str:token>/", feeds.unsubscribe, name="unsubscribe"),
    path("answers/<str:token>/", answers.answer, name="answer"),
]
