"""Forms of grants."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models import Grant
from reedcrew.grants.services import GrantFacts
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.web.forms import DayField, RowsField


class GrantForm(forms.ModelForm):  # type: ignore[type-arg]  # Django's class takes no type at run time
    class Meta:
        model = Grant
        fields = ["name", "funder", "number", "starts_on", "ends_on", "stands", "note"]
        widgets = {"stands": forms.CheckboxSelectMultiple, "note": forms.Textarea(attrs={"rows": 3})}
        field_classes = {"starts_on": DayField, "ends_on": DayField, "stands": RowsField}
        help_texts = {
            "number": _("As the funder writes it, for the report."),
            "stands": _("Only hours on these stands can count toward the grant."),
        }

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.group = group
        self.fields["stands"].queryset = Stand.objects.of_group(group).select_related("site")  # type: ignore[attr-defined]  # ModelChoiceField

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("starts_on"), cleaned.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day must not be before the first: give a later day."))
        return cleaned

    def facts(self) -> GrantFacts:
        return GrantFacts(**{**self.cleaned_data, "stands": list(self.cleaned_data["stands"])})
