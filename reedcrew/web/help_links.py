"""Links from codes of reasons, refusals and values to their help: the app that has the help registers the finder."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpLink:
    """Where something is explained, and the title it has there."""

    url: str
    title: str | Promise


_finders: list[Callable[[str], HelpLink | None]] = []


def register(finder: Callable[[str], HelpLink | None]) -> None:
    """Add a finder. Called from AppConfig.ready; registering the same one again changes nothing."""
    if finder not in _finders:
        _finders.append(finder)


def link_for(code: str | None) -> HelpLink | None:
    """The help on a code; None where no finder knows it, or where there is no code."""
    if not code:
        return None
    return next((link for finder in _finders if (link := finder(code)) is not None), None)
