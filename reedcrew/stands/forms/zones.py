"""Forms of zones."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.forms.outlines import OutlineField
from reedcrew.stands.live_map import live_map
from reedcrew.stands.models import UNITS_MAX, Site, Stand, Zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.water import CURRENT_M_S_MAX, DEPTH_CM_MAX, GAUGE_CM_MAX
from reedcrew.web.forms import (
    CountField,
    DayField,
    Fieldset,
    NumberField,
    StaleCheckMixin,
)


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
    outline = OutlineField()

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

    def __init__(self, *args: Any, site: Site, stand: Stand | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["outline"] = self.instance.outline
        field = self.fields["outline"]
        if isinstance(field, OutlineField):
            live = live_map(site.group, site=site.pk, stand=stand.pk if stand else None)
            field.place(site, live=live, skip=f"zone-{self.instance.pk}" if self.instance.pk else "")


class ChangeZoneForm(StaleCheckMixin, ZoneForm):
    """A zone that is there already."""
