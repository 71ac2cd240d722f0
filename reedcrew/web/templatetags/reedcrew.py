"""The elements of every page. What exists, with an example each, is listed at the top of templates/web/page.html."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.core.paginator import Page
from django.forms import BaseForm, BoundField
from django.template.context import Context
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils.functional import Promise
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from reedcrew.web import amounts, help_links, leaving, navigation, times
from reedcrew.web.amounts import amount_text, number_text
from reedcrew.web.cautions import CAUTIONS
from reedcrew.web.drawings import DRAWINGS, HEIGHT, WIDTH
from reedcrew.web.fieldsets import GroupedFields, grouped
from reedcrew.web.sentences import said

register = template.Library()

# The shape of a badge or notice says the same as its colour, for people who do not see the colour.
SHAPES: Mapping[str, str] = {
    "done": "done",
    "open": "open",
    "info": "info",
    "water": "water",
    "caution": "caution",
    "stop": "stop",
}
BUTTON_KINDS = ("", "primary", "danger", "quiet")


def _shape(tone: str) -> str:
    if tone not in SHAPES:
        raise template.TemplateSyntaxError(f"Tone {tone!r} is not one of {', '.join(SHAPES)}.")
    return SHAPES[tone]


def _button_classes(kind: str, big: bool) -> str:
    if kind not in BUTTON_KINDS:
        raise template.TemplateSyntaxError(f"Kind {kind!r} of a button is not one of {', '.join(BUTTON_KINDS[1:])}.")
    return " ".join(["button", *([f"button-{kind}"] if kind else []), *(["button-big"] if big else [])])


# --- Frame ---------------------------------------------------------------------------------------------------------
@register.inclusion_tag("web/_navigation.html", takes_context=True)
def navigation_menu(context: Context) -> dict[str, object]:
    """The menu; nothing where there is no request, as on the page for an inner error."""
    request = context.get("request")
    return {
        "parts": navigation.parts_for(request) if request is not None else [],
        "group": getattr(request, "group", None),
        "person": request is not None and navigation.signed_in(request),
        "mail_page": context.get("mail_page", False),
    }


@register.simple_block_tag
def captured(content: str) -> str:
    """``{% captured as name %}…{% endcaptured %}`` keeps what is inside: to print it twice or see if it is empty."""
    return content


@register.simple_block_tag
def crumb(content: str, url: str) -> SafeString:
    """One step of the breadcrumb: ``{% crumb url %}Willow Bend{% endcrumb %}``."""
    return format_html('<li><a href="{}">{}</a></li>', url, content)


@register.simple_tag
def icon(name: str) -> SafeString:
    """A decorative icon of icons.svg; the words beside it carry the meaning."""
    return format_html(
        '<svg class="icon icon-{}" aria-hidden="true" focusable="false"><use href="{}#{}"></use></svg>',
        name,
        static("web/icons.svg"),
        name,
    )


@register.inclusion_tag("web/_drawing.html")
def drawing(name: str, caption: bool = True) -> dict[str, object]:
    """A drawing of web/drawings.py with its sentence: ``{% drawing "spade" %}``. Without ``caption`` the picture alone.

    depth cut-at-bed spade pair gear dry-ground.
    """
    if name not in DRAWINGS:
        raise template.TemplateSyntaxError(f"Drawing {name!r} is not one of {', '.join(DRAWINGS)}.")
    file = static(f"web/drawings/{name}.svg")
    return {"drawing": DRAWINGS[name], "file": file, "caption": caption, "width": WIDTH, "height": HEIGHT}


# --- Elements ------------------------------------------------------------------------------------------------------
@register.inclusion_tag("web/_badge.html")
def badge(tone: str, word: object) -> dict[str, object]:
    """A state in one or two words, with the shape of its tone: done, open, info, water, caution or stop."""
    return {"tone": tone, "shape": _shape(tone), "word": word}


@register.inclusion_tag("web/_link_button.html")
def link_button(url: str, label: object, kind: str = "", icon: str = "", big: bool = False) -> dict[str, object]:
    """A link that looks like a button: it leads somewhere and changes nothing."""
    return {"url": url, "label": label, "classes": _button_classes(kind, big), "icon": icon}


@register.inclusion_tag("web/_button.html")
def button(
    label: object, kind: str = "primary", icon: str = "", name: str = "", value: object = "", big: bool = False
) -> dict[str, object]:
    """A submit button of the form around it."""
    return {
        "label": label,
        "classes": _button_classes(kind, big),
        "icon": icon,
        "name": name,
        "value": value,
    }


@register.inclusion_tag("web/_post_button.html", takes_context=True)
def post_button(
    context: Context, url: str, label: object, kind: str = "", icon: str = "", big: bool = False, **hidden: object
) -> dict[str, object]:
    """A form of one button: posts the ``hidden`` values given by name. For single deeds such as "sign out"."""
    return {
        "url": url,
        "label": label,
        "classes": _button_classes(kind, big),
        "icon": icon,
        "hidden": hidden,
        "csrf_token": context.get("csrf_token"),
    }


@register.simple_tag
def leaving_notes() -> list[leaving.Leaving]:
    """What apps that keep data in the browser say on the page for signing out."""
    return leaving.registered()


@register.simple_block_tag
def panel(content: str, title: object = "", tone: str = "", id: str = "", level: int = 2) -> SafeString:
    """A titled part of a page. ``tone`` is empty, water, done, caution or stop; ``level`` is the heading's, 2 to 4."""
    values = {"content": content, "title": title, "tone": tone, "id": id, "level": level}
    return SafeString(render_to_string("web/_panel.html", values))


@register.simple_block_tag
def notice(content: str, tone: str = "info", role: str = "") -> SafeString:
    """Something to read before going on. ``role="alert"`` for what has just gone wrong."""
    values = {"content": content, "tone": tone, "shape": _shape(tone), "role": role}
    return SafeString(render_to_string("web/_notice.html", values))


@register.simple_block_tag
def empty(content: str, icon: str = "reed") -> SafeString:
    """What a list shows while it has no rows: why it is empty and what to do first."""
    return SafeString(render_to_string("web/_empty.html", {"content": content, "icon": icon}))


@register.simple_block_tag
def facts(content: str, wide: bool = False) -> SafeString:
    """A grid of short facts around ``{% fact %}`` lines; ``wide=True`` for values such as mail addresses."""
    return format_html('<dl class="facts{}">{}</dl>', " facts-wide" if wide else "", content)


@register.simple_tag
def fact(term: object, value: object, figure: bool = False) -> SafeString:
    """One name and value of ``{% facts %}``; ``figure=True`` prints the value large. Nothing known is said in words."""
    shown = gettext("not known") if value is None or value == "" else value
    return format_html(
        "<div><dt>{}</dt><dd{}>{}</dd></div>", term, SafeString(' class="figure"') if figure else "", shown
    )


@register.inclusion_tag("web/_reasons.html")
def reasons(items: Iterable[Any], codes: bool = True) -> dict[str, object]:
    """Why a rule answered as it did: one line a reason, with its code unless ``codes`` is off.

    An item is an object with ``code``, ``sentence`` and ``values`` (its sentence is translated, then filled), an object
    with ``code`` and ``text``, or a mapping with "code" and "text".
    """
    lines = [_reason_line(item) for item in items]
    return {"lines": [{**line, "help": help_links.link_for(line["code"])} for line in lines], "codes": codes}


@register.inclusion_tag("web/_help_link.html")
def help_link(code: str | None, text: object = "") -> dict[str, object]:
    """A quiet link to the help on a code, or on a value's name; nothing where there is none: ``{% help_link "H5" %}``.

    ``text`` is what the link shows; without it the link is a mark.
    """
    return {"help": help_links.link_for(code), "text": text}


@register.simple_tag
def sentence(reason: Any) -> str:
    """One reason's sentence in the reader's language: ``{% sentence zone.method %}``."""
    return _reason_line(reason)["text"]


def _reason_line(item: Any) -> dict[str, str]:
    if isinstance(item, Mapping):
        return {"code": str(item["code"]), "text": str(item["text"])}
    text = said(item) if getattr(item, "sentence", "") else str(item.text)
    return {"code": str(item.code), "text": text}


@register.inclusion_tag("web/_caution.html")
def caution(*kinds: str) -> dict[str, object]:
    """The usual caution for water, blades, heat, cold, bleach, burning, minors or general; several share a box."""
    unknown = [kind for kind in kinds if kind not in CAUTIONS]
    if unknown or not kinds:
        raise template.TemplateSyntaxError(f"Caution {unknown} is not one of {', '.join(CAUTIONS)}.")
    return {"cautions": [CAUTIONS[kind] for kind in dict.fromkeys(kinds)]}


@register.inclusion_tag("web/_bar.html")
def bar(value: int | float, limit: int | float, label: object, goal: bool = False) -> dict[str, object]:
    """A share as a bar above its words: ``{% bar 7 12 _("7 of 12 places taken") %}``. ``limit`` 0: an empty bar.

    More than ``limit`` is shown as too much, unless it is a ``goal``.
    """
    share = 100 * value / limit if limit > 0 else 0
    return {"width": f"{min(max(share, 0), 100):.1f}", "over": share > 100 and not goal, "label": label}


@register.inclusion_tag("web/_pagination.html", takes_context=True)
def pagination(context: Context, page: Page[Any], parameter: str = "page") -> dict[str, object]:
    """Earlier and later pages of a list, keeping the address's other parameters. Nothing when there is one page."""
    request = context.get("request")
    query = request.GET.copy() if request is not None else None

    def address(number: int) -> str:
        if query is None:
            return f"?{parameter}={number}"
        query[parameter] = str(number)
        return f"?{query.urlencode()}"

    return {
        "page": page,
        "earlier": address(page.previous_page_number()) if page.has_previous() else "",
        "later": address(page.next_page_number()) if page.has_next() else "",
    }


# --- Forms ---------------------------------------------------------------------------------------------------------
@register.simple_tag
def field(bound: BoundField) -> SafeString:
    """One field with label, help, error and input; the same as ``{{ form.name.as_field_group }}``."""
    return bound.as_field_group()


@register.filter
def field_groups(form: BaseForm) -> list[GroupedFields]:
    """The visible fields of a form, by its ``fieldsets`` where it has them."""
    return grouped(form)


@register.simple_block_tag(takes_context=True)
def form_to(
    context: Context,
    content: str,
    url: str = "",
    form: BaseForm | None = None,
    submit: object = "",
    cancel: str = "",
    kind: str = "primary",
) -> SafeString:
    """A whole posting form: summary of errors, fields of ``form``, what stands inside the block, buttons.

    ``url`` empty posts to the page's own address. The form sends files when ``form`` has a file field. Without
    ``submit`` the block brings its own button.
    """
    values = {
        "url": url,
        "form": form,
        "content": content,
        "submit": submit,
        "cancel": cancel,
        "kind": kind,
        "csrf_token": context.get("csrf_token"),
    }
    return SafeString(render_to_string("web/_form_to.html", values))


# --- Words ---------------------------------------------------------------------------------------------------------
@register.filter
def term(word: object) -> str:
    """A word of the trade, such as an item, a size or a unit, in the reader's language: ``{{ line.item|term }}``."""
    return gettext(str(word)) if word else ""


# --- Days, times, numbers ------------------------------------------------------------------------------------------
@register.filter
def day(value: date) -> str:
    """``{{ workday.date|day }}``: Sat 18 July 2026."""
    return times.day_text(value)


@register.filter(expects_localtime=True)
def date_only(value: date, date_style: str = "DATE_FORMAT") -> str:
    """``{{ batch.imported_at|date_only }}``: 18 July 2026, where a weekday would not help; "MONTH_DAY_FORMAT" too."""
    return times.date_text(value, date_style)


def _time(value: datetime, text: str) -> SafeString:
    # HTML knows no more than three digits of a second; whole ones do.
    return format_html('<time datetime="{}">{}</time>', value.isoformat(timespec="seconds"), text)


@register.simple_tag
def moment(value: datetime, zone: str | ZoneInfo) -> SafeString:
    """Day and time in the site's zone: ``{% moment signup.created_at site.timezone %}``."""
    return _time(value, times.moment_text(value, zone))


@register.simple_tag
def clock(value: datetime, zone: str | ZoneInfo) -> SafeString:
    """Time of day in the site's zone."""
    return _time(value, times.clock_text(value, zone))


@register.simple_tag
def span(start: datetime, end: datetime, zone: str | ZoneInfo) -> str:
    """From start to end in the site's zone: ``{% span workday.starts_at workday.ends_at site.timezone %}``."""
    return times.span_text(start, end, zone)


@register.simple_tag
def clock_span(start: datetime, end: datetime, zone: str | ZoneInfo) -> str:
    """Times of day from start to end, beside a day that is named already."""
    return times.clock_span_text(start, end, zone)


@register.filter
def hours_minutes(value: timedelta | float) -> str:
    """``{{ entry.minutes|hours_minutes }}``: 3 h 30 min. Takes a timedelta or a number of minutes."""
    return times.duration_text(value)


@register.filter
def number(value: int | float | Decimal, places: int = 0) -> str:
    """``{{ stems|number }}`` or ``{{ depth|number:1 }}``: the reader's separators, so many places after the point."""
    return number_text(value, places)


@register.simple_tag
def amount(
    value: int | float | Decimal | None,
    unit: str | Promise,
    places: int = 0,
    is_difference: bool = False,
    inside: bool = False,
) -> str:
    """A number with its unit, kept on one line: ``{% amount depth_cm "cm" %}``. None is said to be unknown.

    Who asks for US customary units reads them behind: 60 cm (24 in). ``is_difference``: °C by which it is warmer;
    ``inside``: parentheses are around it already.
    """
    if value is None:
        return gettext("not known")
    return amount_text(value, unit, places, is_difference=is_difference, inside=inside)


@register.filter
def beside(value: int | float | Decimal, unit: str) -> str:
    """What stands behind an amount that is written already: ``{{ area }} m²{{ area|beside:"m²" }}``; often nothing."""
    return amounts.beside(value, unit)
