"""Elements of pages about one work day."""

from django import template
from django.template import Context

from reedcrew.people.access import GroupRequest
from reedcrew.workdays.day_pages import links_for
from reedcrew.workdays.models import WorkDay

register = template.Library()


@register.inclusion_tag("workdays/_day_pages.html", takes_context=True)
def day_pages(context: Context, day: WorkDay) -> dict[str, object]:
    """The row of links between the pages of a day."""
    request: GroupRequest = context["request"]
    return {"links": links_for(day, request.member, request.path)}
