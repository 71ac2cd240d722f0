"""The page behind a link in a mail: it shows what a press does, and acts on the press only."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from reedcrew.invites import answering
from reedcrew.invites.answer_links import read_link


@never_cache
@require_http_methods(["GET", "POST"])
def answer(request: HttpRequest, token: str) -> HttpResponse:
    """No account is asked for: whoever has the mail has the link, and one place is all it moves."""
    link = read_link(token)
    entry = answering.entry_of(link) if link is not None else None
    if link is None or entry is None:
        raise Http404
    now = timezone.now()
    if request.method == "POST":
        answering.follow(link=link, entry=entry, comes=request.POST.get("answer") == "yes", now=now)
        return redirect(request.path)
    sign_up = answering.current_sign_up(entry)
    context = {
        "purpose": link.purpose.value,
        "sign_up": sign_up,
        "day": sign_up.day,
        "over": not sign_up.day.is_open or sign_up.day.has_ended(now),
    }
    return render(request, "invites/answer.html", context)
