"""The addresses of the site as the URL configuration has them, and how one is filled in."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver

from reedcrew.people.roles import Deed

ARGUMENT = re.compile(r"<(?:\w+:)?(\w+)>")
GROUP = "g/<slug:slug>/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """One address: its route from the root, and the deed that its view declares (None outside groups)."""

    route: str
    view: Callable[..., object]
    deed: Deed | None

    @property
    def in_group(self) -> bool:
        return self.route.startswith(GROUP)

    @property
    def arguments(self) -> list[tuple[str, str]]:
        """Each argument but the group's as (the last plain part of the route before it, its name), in order."""
        found, plain = [], ""
        for part in self.route.removeprefix(GROUP).split("/"):
            names = ARGUMENT.findall(part)
            found += [(plain, name) for name in names]
            plain = plain if names else part
        return found

    def filled(self, values: dict[tuple[str, str], object], group: str = "") -> str:
        """The address with these values, one for each of ``arguments``."""
        filling = iter([*([group] if self.in_group else []), *(str(values[argument]) for argument in self.arguments)])
        return "/" + ARGUMENT.sub(lambda _found: next(filling), self.route)


def all_addresses() -> list[Address]:
    """Every address of the site."""
    return list(_under(get_resolver(), ""))


def _under(resolver: URLResolver, above: str) -> Iterator[Address]:
    for pattern in resolver.url_patterns:
        route = above + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from _under(pattern, route)
        elif isinstance(pattern, URLPattern):
            yield Address(route=route, view=pattern.callback, deed=getattr(pattern.callback, "deed", None))
