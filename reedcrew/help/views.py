"""Pages of help. Anybody may read them; who is signed in sees the values of their groups too."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from reedcrew.help import queries
from reedcrew.help.topics import TOPICS
from reedcrew.web.cautions import CAUTIONS


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """All pages of help."""
    return render(request, "help/index.html", {"topics": TOPICS})


@require_safe
def topic(request: HttpRequest, topic: str) -> HttpResponse:
    """One page: each rule with what it says, why, its values and its source."""
    found = next((each for each in TOPICS if each.slug == topic), None)
    if found is None:
        raise Http404
    context = {
        "topic": found,
        "sections": queries.sections_for(found, request.user),
        "cautions": [CAUTIONS[kind] for kind in found.cautions],
    }
    return render(request, "help/topic.html", context)


@require_safe
def words(request: HttpRequest) -> HttpResponse:
    """The glossary."""
    return render(request, "help/words.html", {"words": queries.words_in_order()})
