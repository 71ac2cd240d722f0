"""Forms of stands."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Stand
from reedcrew.web.forms import (
    CountField,
    StaleCheckMixin,
)


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
