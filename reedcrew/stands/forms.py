"""Forms of sites, stands, zones, checks and gauge levels: they check the shape; services ask for the meaning."""

import datetime
import json
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import UNITS_MAX, Site, Stand, Zone
from reedcrew.stands.time_zones import time_zones, validate_time_zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.identification import Identification
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX, Outline, UnusableOutline, read_outline
from reedcrew.trade.reasons import SENTENCES
from reedcrew.trade.season import MonthDay
from reedcrew.trade.water import CURRENT_M_S_MAX, DEPTH_CM_MAX, GAUGE_CM_MAX
from reedcrew.web.forms import (
    CountField,
    DayField,
    Fieldset,
    MonthDayField,
    NumberField,
    SiteTimeField,
    StaleCheckMixin,
    SubmissionMixin,
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


class StandForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A new stand. Its subspecies is not entered here: a check decides it."""

    class Meta:
        model = Stand
        fields = ["name", "first_cut_year", "note"]
        field_classes = {"first_cut_year": CountField}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "name": _("Something that people on site recognize, such as North bay."),
            "first_cut_year": _("Four digits. Leave empty while nobody has cut here."),
        }

    def __init__(self, *args: Any, this_year: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.this_year = this_year

    def clean_first_cut_year(self) -> int | None:
        """Cutting may be planned for next year, not for later."""
        year: int | None = self.cleaned_data["first_cut_year"]
        if year is not None and year > self.this_year + 1:
            raise forms.ValidationError(
                _("Give a year up to %(latest)s, or leave it empty."), params={"latest": self.this_year + 1}
            )
        return year


class ChangeStandForm(StaleCheckMixin, StandForm):
    """A stand that is there already."""


class ZoneForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A new zone as a survey found it."""

    depth_cm = CountField(
        label=_("Depth at the survey"),
        unit="cm",
        max_value=DEPTH_CM_MAX,
        help_text=_("0 is dry land. Measure at the deepest place where people would stand."),
    )
    surveyed_on = DayField(label=_("Surveyed on"))
    gauge_cm = CountField(
        label=_("Gauge level at the survey"),
        unit="cm",
        required=False,
        min_value=-GAUGE_CM_MAX,
        max_value=GAUGE_CM_MAX,
        help_text=_("Depth today is corrected by it. Leave empty where there is no gauge. It may be below zero."),
    )
    current_m_s = NumberField(
        label=_("Current"),
        unit="m/s",
        min_value=0,
        max_value=CURRENT_M_S_MAX,
        decimal_places=2,
        initial=0,
        help_text=_("0 in still water. Time a floating stick over a few metres, at the fastest place."),
    )
    stems = CountField(label=_("Estimated stems"), initial=0, max_value=STEMS_MAX)
    units_max = CountField(
        label=_("Most units at once"),
        initial=4,
        max_value=UNITS_MAX,
        help_text=_("How many pairs can work here without getting into each other's reach."),
    )
    outline = forms.CharField(
        label=_("Outline on the map"),
        required=False,
        strip=True,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false", "autocomplete": "off"}),
        help_text=_(
            "A GeoJSON polygon, longitude first, as a mapping program exports it. The area is computed from it."
        ),
    )

    fieldsets = (
        Fieldset(legend=_("The zone"), fields=("name", "bed", "stems", "units_max")),
        Fieldset(
            legend=_("Water"),
            fields=("depth_cm", "surveyed_on", "gauge_cm", "current_m_s"),
            why=_("Who may enter, and with what gear, is decided by these figures. When unsure, give the greater one."),
        ),
        Fieldset(legend=_("Map"), fields=("outline",)),
    )

    class Meta:
        model = Zone
        fields = ["name", "bed", "stems", "units_max", "depth_cm", "surveyed_on", "gauge_cm", "current_m_s"]

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site = site
        if self.instance.outline:
            self.initial["outline"] = json.dumps(self.instance.outline)

    def clean_outline(self) -> Outline | None:
        """The polygon that was pasted, or None. Its problem is said in the reader's language."""
        text: str = self.cleaned_data["outline"]
        if not text:
            return None
        try:
            return read_outline(text, site=self.site.position)
        except UnusableOutline as error:
            sentence = gettext(SENTENCES[error.problem.code]).format(**error.problem.values)
            raise forms.ValidationError(sentence, code=error.problem.code) from error


class ChangeZoneForm(StaleCheckMixin, ZoneForm):
    """A zone that is there already."""


class CheckForm(SubmissionMixin):
    """One check of a stand's subspecies."""

    result = forms.TypedChoiceField(
        label=_("What it is"),
        choices=Stand.IDENTIFICATIONS[1:],
        coerce=Identification,
        widget=forms.RadioSelect,
        help_text=_("“Native” and “not sure” both protect the stand."),
    )
    characters = forms.CharField(
        label=_("What was seen"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_(
            "The characters that decided, each with what you saw: leaf sheaths on dead stems, colour of the lower "
            "stem, ligule, round black spots. Name the qualified person or the genetic test where one decided."
        ),
    )
    checked_on = DayField(label=_("Checked on"))


class LevelForm(forms.Form):
    """A reading of a site's gauge."""

    level_cm = CountField(
        label=_("Gauge level"),
        unit="cm",
        min_value=-GAUGE_CM_MAX,
        max_value=GAUGE_CM_MAX,
        help_text=_("As read on the same gauge that the surveys used. It may be below zero."),
    )
    read_at = SiteTimeField(label=_("Read at"))

    def __init__(self, *args: Any, site: Site, now: datetime.datetime, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"read_at": now})
        super().__init__(*args, **kwargs)
        field = self.fields["read_at"]
        if isinstance(field, SiteTimeField):
            field.zone = site.zone_info


def values_of(form: StaleCheckMixin) -> dict[str, Any]:
    """What a valid form of a change gives to its service, the version as the number that it is."""
    return {**form.cleaned_data, "version": int(form.cleaned_data["version"])}


def sent_twice(form: StaleCheckMixin) -> bool:
    """Whether a form of a change, sent with an old version, says only what is stored: its first arrival was saved."""
    return form.is_bound and not form.is_valid() and form.stale and not form.saved_meanwhile
