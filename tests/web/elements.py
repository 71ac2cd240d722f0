"""Rendering one piece of a page for a test."""

from typing import Any

from django.template import Context, Template
from django.template.loader import get_template
from django.test import RequestFactory


def rendered(source: str, **values: Any) -> str:
    """What the template source prints, with the elements loaded."""
    return Template("{% load i18n reedcrew %}" + source).render(Context(values))


def page(name: str, path: str = "/", **values: Any) -> str:
    """What a stored template prints for a request that nobody is signed in to."""
    return get_template(name).render(values, RequestFactory().get(path))
