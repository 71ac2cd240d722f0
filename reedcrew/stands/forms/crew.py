"""A question to the forecast: what would a crew of this size get done in a day."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.trade.effort import DAY_HOURS_MAX, PEOPLE_MAX, Crew


class CrewForm(forms.Form):
    """People who cut in water and on dry land, and their hours. Asked by GET: it changes nothing."""

    in_water = forms.IntegerField(label=_("People cutting in water"), min_value=0, max_value=PEOPLE_MAX)
    on_land = forms.IntegerField(label=_("People cutting on dry land"), min_value=0, max_value=PEOPLE_MAX)
    hours = forms.DecimalField(
        label=_("Hours of each"), min_value=0, max_value=DAY_HOURS_MAX, max_digits=4, decimal_places=2
    )

    def clean_hours(self) -> float:
        hours = float(self.cleaned_data["hours"])
        if hours == 0:
            raise forms.ValidationError(_("Give more than 0 hours, such as 3.5."), code="no_hours")
        return hours

    @property
    def crew(self) -> Crew:
        """The crew of a valid form."""
        return Crew(**self.cleaned_data)
