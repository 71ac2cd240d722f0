"""The way into the operators' pages: a mark on the account, and no role of any group."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponseBase

P = ParamSpec("P")


def is_operator(request: HttpRequest) -> bool:
    """Whether the reader runs this installation."""
    return bool(getattr(request.user, "is_operator", False))


def operator_page(
    view: Callable[Concatenate[HttpRequest, P], HttpResponseBase],
) -> Callable[..., HttpResponseBase]:
    """Open a view to operators. Signed out: to the sign-in page and back. Everyone else finds nothing here: 404."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        if not is_operator(request):
            raise Http404
        return view(request, *args, **kwargs)

    return login_required(guarded)
