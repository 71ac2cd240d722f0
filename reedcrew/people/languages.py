"""The languages that people say they speak, by ISO 639-1 code, and the one in which the site writes to somebody."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.conf.locale import LANG_INFO
from django.http import HttpRequest
from django.utils.translation import get_language_info, gettext, override
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group, Units
from reedcrew.web import amounts

# Named first, because most crews need no other (convention).
COMMON_LANGUAGES = ("en", "fr", "es", "zh", "pa", "ar", "hi", "tl", "pt", "de", "uk", "vi")

# Spoken languages that Django has no single two-letter name for.
_OWN_NAMES = {"zh": _("Chinese"), "tl": _("Tagalog")}

LANGUAGE_CODES = frozenset(
    {code for code, info in LANG_INFO.items() if len(code) == 2 and "name" in info} | set(_OWN_NAMES)
)


def language_name(code: str) -> str:
    """The name of a language in the reader's language. Raises KeyError for a code outside LANGUAGE_CODES."""
    if code in _OWN_NAMES:
        return str(_OWN_NAMES[code])
    return gettext(get_language_info(code)["name"])


def language_choices(codes: frozenset[str]) -> list[tuple[str, str]]:
    """Choices for a form: the common ones in their order, then the others by name."""
    common = [code for code in COMMON_LANGUAGES if code in codes]
    others = sorted(codes - set(COMMON_LANGUAGES), key=lambda code: (language_name(code), code))
    return [(code, language_name(code)) for code in (*common, *others)]


def letter_language(account: Account | None, group: Group) -> str:
    """The language in which somebody is written to: the one that they chose, else the group's, else the site's own."""
    offered = {code for code, _name in settings.LANGUAGES}
    wanted = (account.language if account is not None else "", group.language)
    return next((code for code in wanted if code in offered), settings.LANGUAGE_CODE)


def on_signed_in(sender: object, *, request: HttpRequest, user: Account, **said: Any) -> None:
    """Keep the language in which somebody first signs in, so that letters reach them in it too."""
    shown = getattr(request, "LANGUAGE_CODE", "")  # set by LocaleMiddleware
    if shown and not user.language:
        user.language = shown
        user.save(update_fields=["language"])


@contextmanager
def writing_to(account: Account | None, group: Group) -> Iterator[None]:
    """Inside, words, dates and numbers are in the language in which the site writes to this person, amounts in their
    units."""
    with_customary = account is not None and account.units == Units.WITH_CUSTOMARY
    with override(letter_language(account, group)), amounts.shown(with_customary=with_customary):
        yield
