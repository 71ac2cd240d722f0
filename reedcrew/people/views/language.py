"""The switch of the site's language that stands at the foot of every page."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST
from django.views.i18n import set_language

from reedcrew.people import services
from reedcrew.people.errors import UnknownLanguage
from reedcrew.people.models import Account


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
