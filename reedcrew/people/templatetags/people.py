"""What a template may ask about its reader."""

from django import template
from django.template.context import Context

from reedcrew.people.roles import Deed

register = template.Library()


@register.simple_tag(takes_context=True)
def reader_may(context: Context, deed: str) -> bool:
    """``{% reader_may "SEE_PEOPLE" as may_see_people %}``: whether the reader of a group's page may do a deed.

    ``deed`` is the name of a member of roles.Deed; KeyError for any other.
    """
    member = getattr(context["request"], "member", None)
    return member is not None and member.may(Deed[deed])
