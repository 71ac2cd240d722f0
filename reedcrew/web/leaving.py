"""What the page for signing out says and does beside signing out: apps that keep data in the browser register it."""

from dataclasses import dataclass

from django.utils.functional import Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """A sentence for everybody, also without a script, and a script that finds the form by ``data-leaving``.

    ``warning`` is what the script says when something would be left behind, with ``%(waits)s`` for how many.
    """

    script: str
    sentence: str | Promise
    warning: str | Promise


_registered: dict[str, Leaving] = {}


def register(leaving: Leaving) -> None:
    """Called from AppConfig.ready; the same script again replaces what it said."""
    _registered[leaving.script] = leaving


def registered() -> list[Leaving]:
    """In the order of registration."""
    return list(_registered.values())
