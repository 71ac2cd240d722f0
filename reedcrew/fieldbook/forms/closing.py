"""What is asked before a day is closed, and of an entry that somebody looked at."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models import Submission
from reedcrew.web.lengths import length_of


class CloseForm(forms.Form):
    """Three ticks: each is asked back when it is missing."""

    gear = forms.BooleanField(
        label=_("Gear is counted: it came back, or it stands above who still has it"),
        error_messages={"required": _("Count the gear first.")},
    )
    cleaning = forms.BooleanField(
        label=_("Cleaning is done, or the gear stays on this site until it is"),
        error_messages={"required": _("Clean what leaves for another site, or keep it here.")},
    )
    loads = forms.BooleanField(
        label=_("All cut material is placed as the loads say; nothing lies in or beside the water"),
        error_messages={"required": _("Walk along the water once more and place what is left.")},
    )

    def checked(self) -> list[str]:
        return [name for name, value in self.cleaned_data.items() if value]


class SettleForm(forms.Form):
    """How an entry from a phone was dealt with."""

    note = forms.CharField(
        label=_("What did you do about it?"),
        max_length=length_of(Submission, "settled_note"),
        help_text=_("Such as: asked both, the later time is right."),
    )
