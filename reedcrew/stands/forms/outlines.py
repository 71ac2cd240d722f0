"""The field in which an outline is drawn, pasted or written corner by corner, and the form that has nothing else."""

import json
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Site, Stand
from reedcrew.trade.outline import (
    CORNERS_MIN,
    DECIMALS,
    Outline,
    Position,
    UnusableOutline,
    outline_from,
    read_outline,
)
from reedcrew.web.forms import Fieldset, StaleCheckMixin
from reedcrew.web.sentences import said


class OutlineInput(forms.Textarea):
    """A text area that a script turns into a drawing board on the map of ``site``; without it, text is all there is.

    ``live`` is what live_map tells the script, ``skip`` the id of the feature that is being drawn.
    """

    template_name = "stands/_outline_input.html"
    site: Position | None = None
    live: Mapping[str, str] | None = None
    skip = ""

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add what the drawing board needs to know."""
        context = super().get_context(name, value, attrs)
        context["widget"]["board"] = {
            "site": self.site,
            "live": self.live,
            "skip": self.skip,
            "corners_min": CORNERS_MIN,
            "decimals": DECIMALS,
        }
        return context


class OutlineField(forms.CharField):
    """An outline as text: corners one a line, latitude first, or GeoJSON. Gives a trade.outline.Outline or None.

    A form sets ``site``, the position that the outline must lie near.
    """

    widget = OutlineInput(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off", "class": "figures"})
    site: Position | None = None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            **{
                "required": False,
                "label": _("Outline on the map"),
                "help_text": _(
                    "One corner a line as latitude, longitude, such as 44.251934, -76.502218; or a GeoJSON polygon. "
                    "The area is computed from it."
                ),
                **kwargs,
            }
        )

    def place(self, site: Site, *, live: Mapping[str, str], skip: str = "") -> None:
        """Say where the outline belongs, and what is shown around it."""
        self.site = site.position
        if isinstance(self.widget, OutlineInput):
            self.widget.site, self.widget.live, self.widget.skip = site.position, live, skip

    def prepare_value(self, value: Any) -> Any:
        """A stored geometry as its corners, one a line, or as GeoJSON where lines cannot say it."""
        if isinstance(value, dict):
            outline = outline_from(value)
            return outline.corner_lines or outline_text(outline)
        return value

    def clean(self, value: Any) -> Outline | None:
        """The outline, or None. Its problem is said in the reader's language."""
        text = super().clean(value)
        if not text:
            return None
        if self.site is None:
            raise TypeError("OutlineField.place has not been called")
        try:
            return read_outline(text, site=self.site)
        except UnusableOutline as error:
            raise forms.ValidationError(said(error.problem), code=error.problem.code) from error

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether the text says another outline than the stored one; the same one may be written in several ways."""
        try:
            outline = self.clean(data)
        except forms.ValidationError:
            return True
        return (outline.geojson if outline else None) != (initial or None)


def outline_text(outline: Outline) -> str:
    """The outline as GeoJSON."""
    return json.dumps(outline.geojson)


class OutlineForm(StaleCheckMixin):
    """The outline of a stand, or the boundary of a site."""

    outline = OutlineField()
    fieldsets = (Fieldset(legend=_("Map"), fields=("outline",)),)

    def __init__(self, *args: Any, row: Site | Stand, live: Mapping[str, str], **kwargs: Any) -> None:
        super().__init__(*args, current_version=row.version, initial={"outline": row.outline}, **kwargs)
        site = row if isinstance(row, Site) else row.site
        kind = "boundary" if isinstance(row, Site) else "stand"
        field = self.fields["outline"]
        if isinstance(field, OutlineField):
            field.place(site, live=live, skip=f"{kind}-{row.pk}")

    def drawn(self) -> dict[str, Any]:
        """What a valid form gives to its service."""
        return {"outline": self.cleaned_data["outline"], "version": int(self.cleaned_data["version"])}
