"""Forms of checks of a stand's subspecies."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Stand
from reedcrew.trade.identification import Identification
from reedcrew.web.forms import (
    DayField,
    SubmissionMixin,
)


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
