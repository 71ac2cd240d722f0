"""The languages that people say they speak, by ISO 639-1 code."""

from django.conf.locale import LANG_INFO
from django.utils.translation import get_language_info, gettext
from django.utils.translation import gettext_lazy as _

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
