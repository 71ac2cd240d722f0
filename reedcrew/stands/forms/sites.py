"""Forms of sites."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Site
from reedcrew.stands.time_zones import time_zones, validate_time_zone
from reedcrew.trade.outline import DECIMALS, Position, UnusablePosition, read_position
from reedcrew.trade.season import MonthDay
from reedcrew.web.forms import (
    Fieldset,
    MonthDayField,
    StaleCheckMixin,
)
from reedcrew.web.sentences import said

MILLIONTH = Decimal("0.000001")  # of a degree: about 10 cm, which is enough (RFC 7946, 11.2)


class TimeZoneInput(forms.TextInput):
    """A line of text to which the browser offers the names of the IANA database."""

    template_name = "stands/_time_zone_input.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add the names to offer."""
        context = super().get_context(name, value, attrs)
        list_id = f"{context['widget']['attrs'].get('id', name)}_names"
        context["widget"]["attrs"]["list"] = list_id
        context["widget"]["offered"] = {"id": list_id, "names": time_zones()}
        return context


class TimeZoneField(forms.CharField):
    """The name of a time zone, in any case and with spaces for underscores."""

    widget = TimeZoneInput(attrs={"autocomplete": "off", "spellcheck": "false"})
    default_validators = [validate_time_zone]

    def to_python(self, value: Any) -> str:
        """The name as the database spells it, or what was written where it has none."""
        written = super().to_python(value) or ""
        known = {name.casefold(): name for name in time_zones()}
        return known.get(written.replace(" ", "_").casefold(), written)


class PositionInput(forms.TextInput):
    """A line of text beside which a script offers the place where the phone is; without it, text is all there is."""

    template_name = "stands/_position_input.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add to how many decimals a place is written."""
        context = super().get_context(name, value, attrs)
        context["widget"]["decimals"] = DECIMALS
        return context


class PositionField(forms.CharField):
    """Latitude and longitude in one line, however they were copied. Gives a trade.outline.Position."""

    widget = PositionInput(attrs={"autocomplete": "off", "spellcheck": "false", "class": "figures"})

    def clean(self, value: Any) -> Position | None:
        """The position. Its problem is said in the reader's language."""
        text = super().clean(value)
        try:
            return read_position(text) if text else None
        except UnusablePosition as error:
            raise forms.ValidationError(said(error.problem), code=error.problem.code) from error

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether the text says another position than the stored one, which may be written in many ways."""
        try:
            return self.clean(data) != (self.clean(initial) if initial else None)
        except forms.ValidationError:
            return True


class SiteForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A new site."""

    position = PositionField(
        label=_("Latitude and longitude"),
        help_text=_(
            "Of the meeting place, as a map or a phone shows it: 44.251934, -76.502218 or "
            "44°15'07\"N 76°30'08\"W. A pasted geo: link will do too."
        ),
    )
    time_zone = TimeZoneField(
        label=_("Time zone"), help_text=_("Times of this site's days are shown in it, such as America/Toronto.")
    )
    window_opens = MonthDayField(label=_("First permitted day"), build=MonthDay, required=False)
    window_closes = MonthDayField(label=_("Last permitted day"), build=MonthDay, required=False)

    fieldsets = (
        Fieldset(legend=_("The place"), fields=("name", "position", "time_zone")),
        Fieldset(
            legend=_("Getting there"),
            fields=("meeting_place", "access", "parking"),
            why=_("People who come for the first time rely on this."),
        ),
        Fieldset(
            legend=_("Safety"),
            fields=("phone_signal", "emergency_entrance", "hazards"),
            why=_("Shown to the crew on the day, and to whoever has to call for help."),
        ),
        Fieldset(
            legend=_("Permitted weeks of this site"),
            fields=("window_opens", "window_closes", "window_authority"),
            why=_("Leave all three empty where the weeks of the group hold. Enter only what an authority has set."),
        ),
    )

    class Meta:
        model = Site
        fields = [
            "name",
            "time_zone",
            "meeting_place",
            "access",
            "parking",
            "phone_signal",
            "emergency_entrance",
            "hazards",
            "window_opens",
            "window_closes",
            "window_authority",
        ]
        widgets = {
            "access": forms.Textarea(attrs={"rows": 3}),
            "parking": forms.Textarea(attrs={"rows": 2}),
            "hazards": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "hazards": _("Drop-offs, soft mud, boats, wasps, poison ivy, slippery banks."),
            "window_authority": _("Who set them, and in which notice."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["position"] = self.instance.coordinates

    def clean(self) -> dict[str, Any] | None:
        """An own window is whole: first day, last day and authority, or none of them."""
        cleaned = super().clean() or self.cleaned_data
        parts = ("window_opens", "window_closes", "window_authority")
        if any(cleaned.get(part) for part in parts) and not any(part in self.errors for part in parts):
            for part in parts:
                if not cleaned.get(part):
                    self.add_error(
                        part, _("Own permitted weeks need first day, last day and the authority that set them.")
                    )
        if position := cleaned.pop("position", None):
            longitude, latitude = position
            cleaned["latitude"], cleaned["longitude"] = _degrees(latitude), _degrees(longitude)
        return cleaned


def _degrees(value: float) -> Decimal:
    return Decimal(value).quantize(MILLIONTH)


class ChangeSiteForm(StaleCheckMixin, SiteForm):
    """A site that is there already."""
