"""Forms of planning a survey: how many quadrats, and where."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Zone
from reedcrew.stands.models.surveys import QUADRAT_STEMS_MAX
from reedcrew.trade.sampling import PLACES_MAX, QUADRAT_M2_MAX, QUADRAT_M2_MIN, Allocation
from reedcrew.trade.sampling.placement import APART_M_MAX, SEED_MAX
from reedcrew.web.forms import CountField, NumberField


class SurveyPlanForm(forms.Form):
    """How precise the total shall be. Zones without usable counts, or with better knowledge, get a guess."""

    precision = NumberField(
        label=_("Wanted precision"),
        unit="%",
        initial=20,
        min_value=1,
        max_value=100,
        help_text=_(
            "The interval of the total shall reach at most so far up and down: 20 % of 10,000 is 8,000 to 12,000."
        ),
    )
    confidence = forms.TypedChoiceField(
        label=_("Confidence of the interval"),
        choices=[("0.8", "80 %"), ("0.9", "90 %"), ("0.95", "95 %"), ("0.99", "99 %")],
        coerce=float,
        initial="0.95",
    )
    allocation = forms.TypedChoiceField(
        label=_("Share the quadrats among the zones"),
        choices=[
            (Allocation.PROPORTIONAL.value, _("by area")),
            (Allocation.NEYMAN.value, _("by area and scatter: fewer in all")),
        ],
        coerce=Allocation,
        initial=Allocation.PROPORTIONAL.value,
        widget=forms.RadioSelect,
    )
    quadrat_m2 = NumberField(
        label=_("Area of a quadrat"),
        unit="m²",
        min_value=QUADRAT_M2_MIN,
        max_value=QUADRAT_M2_MAX,
        decimal_places=3,
        help_text=_("Counts of earlier surveys are used where their quadrats had this size."),
    )

    def __init__(self, *args: Any, zones: Sequence[Zone], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for zone in zones:
            for end, label in (
                ("least", gettext("Fewest stems in a quadrat: %s")),
                ("most", gettext("Most stems: %s")),
            ):
                self.fields[f"{end}-{zone.pk}"] = CountField(
                    label=label % zone.name, max_value=QUADRAT_STEMS_MAX, required=False
                )

    @property
    def asked(self) -> list[forms.BoundField]:
        return [self[name] for name in self.base_fields]

    @property
    def guesses(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name.startswith(("least-", "most-"))]

    def guess_of(self, zone: Zone) -> tuple[int, int] | None:
        """The fewest and the most stems that a quadrat of the zone is expected to hold; None where none were typed."""
        least, most = self.cleaned_data.get(f"least-{zone.pk}"), self.cleaned_data.get(f"most-{zone.pk}")
        return None if least is None or most is None else (least, most)

    def clean(self) -> dict[str, Any]:
        """A guess has both ends, in their order."""
        cleaned = super().clean() or self.cleaned_data
        for name in [each for each in self.fields if each.startswith("least-")]:
            other = name.replace("least-", "most-")
            least, most = cleaned.get(name), cleaned.get(other)
            if (least is None) != (most is None) and not {name, other} & set(self.errors):
                self.add_error(name if least is None else other, _("A guess needs both the fewest and the most."))
            elif least is not None and most is not None and most < least:
                self.add_error(other, _("The most is not less than the fewest."))
        return cleaned


class PlacesForm(forms.Form):
    """Where quadrats shall lie: in which zone, how many, how far apart, and by which number they are drawn."""

    zone = forms.ModelChoiceField(label=_("Zone"), queryset=Zone.objects.none(), empty_label=None)
    count = CountField(label=_("How many quadrats"), initial=10, min_value=1, max_value=PLACES_MAX)
    apart_m = NumberField(
        label=_("At least apart"),
        unit="m",
        initial=0,
        min_value=0,
        max_value=APART_M_MAX,
        required=False,
        help_text=_("0 is by chance alone. A phone may be off by some metres, so less than 10 m changes little."),
    )
    seed = CountField(
        label=_("Number of the draw"),
        required=False,
        max_value=SEED_MAX,
        help_text=_("Leave empty for a new draw. The same number gives the same places again."),
    )

    def __init__(self, *args: Any, zones: Sequence[Zone], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["zone"]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = Zone.objects.filter(pk__in=[zone.pk for zone in zones]).order_by("name", "pk")
