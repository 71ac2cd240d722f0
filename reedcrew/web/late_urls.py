"""Addresses that are loaded when somebody asks for one, not when the first page of the site is made."""

from django.urls import URLResolver
from django.urls.resolvers import RoutePattern


class LateAddresses(URLResolver):
    """The addresses of a module under a route and a namespace; the module is imported by the first that is asked for.

    Django itself imports it late, but collects the names of all addresses for the first ``reverse``. A namespace of its
    own needs no such collection: ``reverse`` of a name in it reads the module then.
    """

    def __init__(self, route: str, module: str, *, namespace: str) -> None:
        super().__init__(RoutePattern(route), module, app_name=namespace, namespace=namespace)

    def _populate(self) -> None:
        """Collect nothing."""
