"""Forms of the ledger."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models import Grant, HourEntry
from reedcrew.grants.queries.ledger import Slice
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.web.forms import DayField, SiteTimeField
from reedcrew.web.lengths import length_of


class SliceForm(forms.Form):
    """Which hours: by grant, stand and period. Every field may stay empty."""

    grant = forms.ModelChoiceField(
        label=_("Grant"), queryset=Grant.objects.none(), required=False, empty_label=_("any or none")
    )
    stand = forms.ModelChoiceField(
        label=_("Stand"), queryset=Stand.objects.none(), required=False, empty_label=_("every stand")
    )
    first = DayField(label=_("From"), required=False)
    last = DayField(label=_("To, included"), required=False)

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.group = group
        self.fields["grant"].queryset = Grant.objects.filter(group=group)  # type: ignore[attr-defined]  # ModelChoiceField
        self.fields["stand"].queryset = Stand.objects.of_group(group).select_related("site")  # type: ignore[attr-defined]  # ModelChoiceField

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        if first and last and last < first:
            self.add_error("last", _("The period must not end before it begins: give a later day."))
        return cleaned

    def part(self) -> Slice:
        """The slice that was asked for; call it on a valid form."""
        return Slice(group=self.group, **self.cleaned_data)


class CorrectionForm(forms.Form):
    """What the entry should have been. Equal start and end take its time away."""

    started_at = SiteTimeField(label=_("Start"))
    ended_at = SiteTimeField(label=_("End"))
    reason = forms.CharField(label=_("Why is it corrected?"), max_length=length_of(HourEntry, "reason"))

    def __init__(self, *args: Any, entry: HourEntry, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("started_at", "ended_at"):
            self.fields[name].zone = entry.stand.site.zone_info  # type: ignore[attr-defined]  # SiteTimeField
