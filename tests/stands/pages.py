"""What the tests of pages share: addresses, words of a page, and what a browser would send."""

import re
from html import unescape

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

SQUARE = {
    "type": "Polygon",
    "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]],
}


def url(name, group, *args):
    return reverse(f"stands:{name}", args=[group.slug, *args])


def text_of(response):
    """The words of a page, without tags."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def site_data(**values):
    return {
        "name": "Heron Landing",
        "position": "44.25, -76.5",
        "time_zone": "America/Toronto",
        "meeting_place": "Gravel lot",
        "access": "",
        "parking": "",
        "phone_signal": "patchy",
        "emergency_entrance": "North gate",
        "hazards": "",
        "window_opens_day": "",
        "window_opens_month": "",
        "window_closes_day": "",
        "window_closes_month": "",
        "window_authority": "",
        **values,
    }


def zone_data(**values):
    return {
        "name": "Edge",
        "bed": "soft",
        "stems": "3000",
        "units_max": "4",
        "depth_cm": "60",
        "surveyed_on": "2026-07-01",
        "gauge_cm": "",
        "current_m_s": "0",
        "outline": "",
        **values,
    }


def form_data(response, **values):
    """What a browser would send from the form of a page: its present values, with some written over."""
    form = response.context["form"]
    data = {}
    for field in form:
        widget = field.field.widget
        initial = field.value()
        if hasattr(widget, "decompress"):
            parts = widget.decompress(initial)
            for suffix, part in zip(widget.widgets_names, parts, strict=True):
                data[field.html_name + suffix] = "" if part is None else str(part)
        else:
            data[field.html_name] = "" if initial is None else str(initial)
    return {**data, **values}


def queries_of(client, address, **parameters):
    """How many queries a page takes once the visitor is known."""
    client.get(address, parameters)
    with CaptureQueriesContext(connection) as taken:
        assert client.get(address, parameters).status_code == 200
    return len(taken)
