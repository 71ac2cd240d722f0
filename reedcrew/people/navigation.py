"""This app's lines of the menu."""

from collections.abc import Callable

from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from reedcrew.people.roles import Deed
from reedcrew.web.navigation import Entry, Section, register, signed_in


def member_may(deed: Deed) -> Callable[[HttpRequest], bool]:
    """Visibility of an entry for members of the request's group whose role may do ``deed``."""

    def visible(request: HttpRequest) -> bool:
        member = getattr(request, "member", None)
        return member is not None and member.may(deed)

    return visible


def register_entries() -> None:
    """Called once, when the app starts."""
    register(Entry(label=pgettext_lazy("page", "Start"), url_name="people:home", order=0, icon="home"))
    register(
        Entry(
            label=_("Group"),
            url_name="people:group",
            section=Section.SEASON,
            order=10,
            icon="reed",
            of_group=True,
            visible=member_may(Deed.SEE_GROUP),
        )
    )
    register(
        Entry(
            label=_("People"),
            url_name="people:members",
            section=Section.PEOPLE_AND_GEAR,
            order=50,
            icon="people",
            of_group=True,
            visible=member_may(Deed.SEE_PEOPLE),
        )
    )
    register(
        Entry(
            label=_("Rules"),
            url_name="people:rules",
            section=Section.SETTINGS,
            order=80,
            icon="list",
            of_group=True,
            visible=member_may(Deed.SEE_GROUP),
        )
    )
    register(
        Entry(
            label=_("My pages"),
            url_name="people:profile",
            section=Section.SITE,
            order=90,
            icon="person",
            visible=signed_in,
        )
    )
