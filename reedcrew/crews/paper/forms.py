"""What the maker of the paper chooses."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.paper.typeset import Sheet
from reedcrew.people.models import PrivateLook
from reedcrew.web.lengths import length_of


class PaperForm(forms.Form):
    """The size of the sheets, and whether emergency contacts stand on them, where that may be."""

    sheet = forms.ChoiceField(
        label=_("Paper"),
        choices=[(Sheet.A4.value, _("A4")), (Sheet.LETTER.value, _("US Letter"))],
        widget=forms.RadioSelect,
        initial=Sheet.A4.value,
    )
    contacts = forms.BooleanField(
        label=_("With emergency contacts"),
        required=False,
        help_text=_("Each look is recorded, and each person sees on their own page who looked, when and why."),
    )
    why = forms.CharField(
        label=_("Why do you open them?"),
        required=False,
        max_length=length_of(PrivateLook, "why"),
        initial=_("Paper for the clipboard of the day"),
    )

    def __init__(self, *args: Any, may_see_contacts: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not may_see_contacts:
            del self.fields["contacts"], self.fields["why"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("contacts") and not cleaned.get("why") and "why" not in self.errors:
            self.add_error("why", _("Write why you open the emergency contacts."))
        return cleaned

    @property
    def wants_contacts(self) -> bool:
        return bool(self.cleaned_data.get("contacts"))
