"""Forms of sites."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Site
from reedcrew.stands.time_zones import time_zones, validate_time_zone
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX
from reedcrew.trade.season import MonthDay
from reedcrew.web.forms import (
    Fieldset,
    MonthDayField,
    NumberField,
    StaleCheckMixin,
)

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


class SiteForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A new site."""

    latitude = NumberField(
        label=_("Latitude"),
        unit="°",
        min_value=-LATITUDE_MAX,
        max_value=LATITUDE_MAX,
        help_text=_("Decimal degrees of the meeting place, south negative: for example 44.251934."),
    )
    longitude = NumberField(
        label=_("Longitude"),
        unit="°",
        min_value=-LONGITUDE_MAX,
        max_value=LONGITUDE_MAX,
        help_text=_("Decimal degrees, west negative: for example -76.502218."),
    )
    time_zone = TimeZoneField(
        label=_("Time zone"), help_text=_("Times of this site's days are shown in it, such as America/Toronto.")
    )
    window_opens = MonthDayField(label=_("First permitted day"), build=MonthDay, required=False)
    window_closes = MonthDayField(label=_("Last permitted day"), build=MonthDay, required=False)

    fieldsets = (
        Fieldset(legend=_("The place"), fields=("name", "latitude", "longitude", "time_zone")),
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
            "latitude",
            "longitude",
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

    def clean_latitude(self) -> Decimal:
        return Decimal(self.cleaned_data["latitude"]).quantize(MILLIONTH)

    def clean_longitude(self) -> Decimal:
        return Decimal(self.cleaned_data["longitude"]).quantize(MILLIONTH)

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
        return cleaned


class ChangeSiteForm(StaleCheckMixin, SiteForm):
    """A site that is there already."""
