"""The switches that stand at the foot of every page: the site's language, and the units of amounts."""

from typing import cast

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST
from django.views.i18n import set_language

from reedcrew.people import services
from reedcrew.people.errors import UnknownLanguage, UnknownUnits
from reedcrew.people.models import Account, Units
from reedcrew.web.ways import way_back


@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Shows the site in another language from now on: kept by this browser and, for somebody signed in, by the account.

    Raises UnknownLanguage.
    """
    chosen = request.POST.get("language", "")
    if chosen not in {code for code, _name in settings.LANGUAGES}:
        raise UnknownLanguage(languages=", ".join(str(name) for _code, name in settings.LANGUAGES))
    if isinstance(request.user, Account):
        services.choose_language(account=request.user, language=chosen)
    return set_language(request)


@require_POST
@login_required
def units(request: HttpRequest) -> HttpResponse:
    """Shows amounts to the account in other units from now on, and leads back to the page that it came from.

    Raises UnknownUnits.
    """
    chosen = request.POST.get("units", "")
    if chosen not in Units.values:
        raise UnknownUnits(units=", ".join(str(label) for label in Units.labels))
    services.choose_units(account=cast(Account, request.user), units=Units(chosen))
    return redirect(way_back(request))
