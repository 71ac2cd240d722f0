"""Around every view: the language and the units that somebody signed in has chosen."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import translation

from reedcrew.people.models import Account, Units
from reedcrew.web import amounts


class AccountReadingMiddleware:
    """Shows pages in the account's own language, whatever the browser asks for, and amounts in its units.

    Whoever is not signed in reads metric units alone. Stands inside Django's LocaleMiddleware, which has chosen by
    cookie and browser before, and names the language in the answer afterwards.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if settings.SESSION_COOKIE_NAME in request.COOKIES and isinstance(request.user, Account):
            language = request.user.language
            if language in {code for code, _name in settings.LANGUAGES}:
                translation.activate(language)
                request.LANGUAGE_CODE = language
            with amounts.shown(with_customary=request.user.units == Units.WITH_CUSTOMARY):
                return self.get_response(request)
        return self.get_response(request)
