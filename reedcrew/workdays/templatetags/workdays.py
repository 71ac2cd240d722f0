"""Elements of pages about one work day."""

from django import template
from django.template import Context
from django.utils import timezone

from reedcrew.people.access import GroupRequest
from reedcrew.people.roles import Deed
from reedcrew.workdays.day_pages import chapter_links_for, links_for
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import marks_of

register = template.Library()


@register.inclusion_tag("workdays/_day_pages.html", takes_context=True)
def day_pages(context: Context, day: WorkDay) -> dict[str, object]:
    """The links between the pages of a day, what is done now first, and a row of its own within a chapter."""
    request: GroupRequest = context["request"]
    chapter = chapter_links_for(day, request.member, request.path)
    return {"links": links_for(day, request.member, request.path, timezone.now()), "chapter": chapter}


@register.inclusion_tag("workdays/_marks.html", takes_context=True)
def day_marks(context: Context, day: WorkDay) -> dict[str, object]:
    """What moved under a day since it was planned; who posts days may say that they have looked. One query."""
    request: GroupRequest = context["request"]
    return {
        "request": request,
        "csrf_token": context.get("csrf_token"),
        "day": day,
        "marks": marks_of(day) if request.member.may(Deed.SEE_ROSTER) else (),
        "may_post": request.member.may(Deed.POST_DAY),
    }
