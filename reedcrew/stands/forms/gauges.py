"""Forms of gauges."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Gauge
from reedcrew.web.forms import DayField, StaleCheckMixin


class GaugeForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A gauge that begins."""

    since = DayField(
        label=_("Read from this day on"),
        help_text=_(
            "The first whole day of this gauge. Surveys and readings of earlier days belong to the one before."
        ),
    )

    class Meta:
        model = Gauge
        fields = ["name", "datum", "since", "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "name": _("What people find on site, such as Staff at the pier, or an official number."),
            "datum": _(
                "What a reading of 0 means, such as “gauge zero is 74.20 m above the national height datum” or "
                "“painted mark on the third pile”."
            ),
            "note": _("Where it stands, and who looks after it."),
        }
        error_messages = {
            "datum": {
                "required": _(
                    "Without a datum nobody can say later whether two levels have the same zero. Write what 0 means on "
                    "this gauge; where you don't know, name the mark from which you measure."
                )
            }
        }


class ChangeGaugeForm(StaleCheckMixin, GaugeForm):
    """A gauge that is there already."""
