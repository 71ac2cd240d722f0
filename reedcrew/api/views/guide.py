"""The page that explains the API by example."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from reedcrew.api import examples
from reedcrew.api.scopes import Scope
from reedcrew.api.sending import WHOLE_S
from reedcrew.api.services.deliveries import TRIES_MAX
from reedcrew.api.signing import CODE_HEADER, EVENT_HEADER, SIGNATURE_HEADER, TIME_HEADER


@require_safe
def guide(request: HttpRequest) -> HttpResponse:
    """Every address with an example, problems, webhooks and how to check them; nothing of any group."""
    from reedcrew.api.v1.access import REQUESTS_MOST, WINDOW_S  # loads the API: only who reads this page waits for it
    from reedcrew.api.v1.description import described
    from reedcrew.api.v1.paging import ROWS_MOST
    from reedcrew.api.v1.problems import PROBLEMS

    paths = described()["paths"]
    context = {
        "examples": [
            (each, paths[each.path]["get"]["parameters"] if each.is_answered else ()) for each in examples.EXAMPLES
        ],
        "scopes": Scope.choices,
        "problems": PROBLEMS,
        "message": examples.message_text(),
        "check": examples.check_text(),
        "headers": {"event": EVENT_HEADER, "code": CODE_HEADER, "time": TIME_HEADER, "signature": SIGNATURE_HEADER},
        "requests_most": REQUESTS_MOST,
        "window_s": WINDOW_S,
        "rows_most": ROWS_MOST,
        "answer_s": f"{WHOLE_S:.0f}",
        "tries_most": TRIES_MAX,
    }
    return render(request, "api/guide.html", context)
