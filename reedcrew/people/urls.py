"""Addresses of the people app. They stand before allauth's, whose pages for passwords and sign-up this site has not."""

from django.urls import URLPattern, URLResolver, path, reverse_lazy
from django.views.generic import RedirectView

from reedcrew.people.views import data, group, language, members, person, start

app_name = "people"

_to_sign_in = RedirectView.as_view(pattern_name="account_request_login_code", query_string=True)
_to_security = RedirectView.as_view(url=reverse_lazy("people:security"))

urlpatterns: list[URLPattern | URLResolver] = [
    path("", start.home, name="home"),
    path("groups/new/", start.found, name="found"),
    path("language/", language.language, name="language"),
    path("me/units/", language.units, name="units"),
    path("me/", start.profile, name="profile"),
    path("me/security/", start.security, name="security"),
    path("me/second-step/", start.second_step, name="second_step"),
    path("me/data/", data.data, name="data"),
    path("me/data/file/", data.data_file, name="data_file"),
    path("me/erase/", data.erase, name="erase"),
    # One form signs in and, for an address that is new, makes the account; there are no passwords.
    path("accounts/login/", _to_sign_in, name="login"),
    path("accounts/signup/", _to_sign_in, name="signup"),
    path("accounts/password/<path:page>", _to_security, name="password"),
    path("g/<slug:slug>/", group.group, name="group"),
    path("g/<slug:slug>/about/", group.edit_group, name="edit_group"),
    path("g/<slug:slug>/rules/", group.rules, name="rules"),
    path("g/<slug:slug>/rules/change/", group.change_rules, name="change_rules"),
    path("g/<slug:slug>/people/", members.members, name="members"),
    path("g/<slug:slug>/people/add/", members.add_member, name="add_member"),
    path("g/<slug:slug>/people/add/several/", members.add_several, name="add_several"),
    path("g/<slug:slug>/people/children/add/", person.add_child, name="add_child"),
    path("g/<slug:slug>/people/<int:pk>/", person.member, name="member"),
    path("g/<slug:slug>/people/<int:pk>/profile/", person.edit_profile, name="edit_profile"),
    path("g/<slug:slug>/people/<int:pk>/emergency/", person.emergency, name="emergency"),
    path("g/<slug:slug>/people/<int:pk>/wishes/", person.wishes, name="wishes"),
    path("g/<slug:slug>/people/<int:pk>/wishes/<int:wish_pk>/drop/", person.drop_wish, name="drop_wish"),
    path("g/<slug:slug>/people/<int:pk>/standing/", members.standing, name="standing"),
    path("g/<slug:slug>/people/<int:pk>/private/", members.private, name="private"),
    path("g/<slug:slug>/people/<int:pk>/leave/", members.leave, name="leave"),
]
