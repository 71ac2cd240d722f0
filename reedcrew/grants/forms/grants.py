"""Forms of grants, families, reporting dates and hourly values."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models import ACTIVITIES, KINDS, Family, Grant, HourlyRate, Licence, ReportingDate
from reedcrew.grants.services import GrantFacts, RateFacts
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import Activity, Kind, Role, Rounding, match_needed
from reedcrew.web.forms import DayField, Fieldset, NumberField, RowsField
from reedcrew.web.lengths import length_of


class CurrencyField(forms.CharField):
    """Three letters of a currency (ISO 4217), also where they were written small."""

    def to_python(self, value: Any) -> str:
        return str(super().to_python(value)).upper()


class GrantForm(forms.ModelForm):  # type: ignore[type-arg]  # Django's class takes no type at run time
    kinds = forms.TypedMultipleChoiceField(
        label=_("Eligible kinds of hour"), choices=KINDS, coerce=Kind, widget=forms.CheckboxSelectMultiple
    )
    activities = forms.TypedMultipleChoiceField(
        label=_("Eligible activities"), choices=ACTIVITIES, coerce=Activity, widget=forms.CheckboxSelectMultiple
    )
    share_percent = NumberField(
        label=_("Share that the match must bear"),
        unit="%",
        required=False,
        min_value=0,
        max_value=99,
        decimal_places=2,
        help_text=_("Only where no match is written above: award × share ÷ (1 − share) is entered for it."),
    )

    fieldsets = (
        Fieldset(legend=_("The grant"), fields=("name", "funder", "number", "family")),
        Fieldset(
            legend=_("What counts"),
            why=_("Both days belong to the period. An hour belongs whole to the date, at the site, on which it began."),
            fields=("starts_on", "ends_on", "stands", "kinds", "activities"),
        ),
        Fieldset(legend=_("Money"), fields=("currency", "award", "match_target", "share_percent")),
        Fieldset(legend=_("The report"), fields=("rounding", "names_required", "licence", "note")),
    )

    class Meta:
        model = Grant
        fields = [
            *("name", "funder", "number", "family", "starts_on", "ends_on", "stands", "kinds", "activities"),
            *("currency", "award", "match_target", "rounding", "names_required", "licence", "note"),
        ]
        widgets = {"stands": forms.CheckboxSelectMultiple, "note": forms.Textarea(attrs={"rows": 3})}
        field_classes = {
            "starts_on": DayField,
            "ends_on": DayField,
            "stands": RowsField,
            "currency": CurrencyField,
            "award": NumberField,
            "match_target": NumberField,
        }
        help_texts = {
            "number": _("As the funder writes it, for the report."),
            "family": _("Grants that a funder sees as one, such as an award and what is passed on from it."),
            "stands": _("Only hours on these stands can count toward the grant."),
            "currency": _("Three letters, such as USD or CAD. Only values of an hour in it are used."),
            "match_target": _("Value of volunteer hours to bring, in the grant's currency."),
            "rounding": _(
                "Start and end of each stay go to the nearest step when a report is made; the ledger keeps whole "
                "minutes. Take a step only if the funder's rules have one."
            ),
            "names_required": _("Otherwise reports and downloads name people by codes that stay the same."),
            "licence": _("Under what others may use the data of the report."),
        }

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.group = group
        self.fields["stands"].queryset = Stand.objects.of_group(group).select_related("site")  # type: ignore[attr-defined]  # ModelChoiceField
        self.fields["family"].queryset = Family.objects.filter(group=group)  # type: ignore[attr-defined]  # ModelChoiceField

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("starts_on"), cleaned.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day must not be before the first: give a later day."))
        award, share = cleaned.get("award"), cleaned.get("share_percent")
        if share is not None and cleaned.get("match_target") is None:
            if award is None:
                self.add_error("award", _("Write the award too, so that its match can be worked out."))
            else:
                cleaned["match_target"] = match_needed(award, share)
        return cleaned

    def facts(self) -> GrantFacts:
        """What was said; call it on a valid form."""
        said = {name: value for name, value in self.cleaned_data.items() if name != "share_percent"}
        said |= {"stands": list(said["stands"]), "rounding": Rounding(said["rounding"])}
        return GrantFacts(**{**said, "licence": Licence(said["licence"])})


class FamilyForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=length_of(Family, "name"))
    note = forms.CharField(label=_("Note"), required=False, widget=forms.Textarea(attrs={"rows": 3}))


class ReportingDateForm(forms.ModelForm):  # type: ignore[type-arg]  # as above
    class Meta:
        model = ReportingDate
        fields = ["due_on", "covers_to"]
        field_classes = {"due_on": DayField, "covers_to": DayField}


class RateForm(forms.ModelForm):  # type: ignore[type-arg]  # as above
    """An hourly value with its source."""

    class Meta:
        model = HourlyRate
        fields = ["role", "since", "hourly", "currency", "fringe_percent", "source", "source_date", "grant"]
        field_classes = {
            "since": DayField,
            "source_date": DayField,
            "hourly": NumberField,
            "fringe_percent": NumberField,
            "currency": CurrencyField,
        }
        help_texts = {
            "since": _("Until a later value of the same role begins."),
            "hourly": _("What paid work of this kind costs you; if you pay none, what it costs around you."),
            "currency": _("Three letters, such as USD or CAD."),
            "fringe_percent": _("Only where paid work of this kind has them and the funder allows it."),
            "source": _("Such as a wage table with its place and year, or your own payroll."),
            "source_date": _("The day the source is from."),
            "grant": _("Choose a grant where its funder sets the value; it goes before the group's own."),
        }

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.group = group
        grants = self.fields["grant"]
        grants.queryset = Grant.objects.filter(group=group)  # type: ignore[attr-defined]  # ModelChoiceField
        grants.empty_label = _("every grant")  # type: ignore[attr-defined]  # as above

    def facts(self) -> RateFacts:
        """What was said; call it on a valid form."""
        return RateFacts(**{**self.cleaned_data, "role": Role(self.cleaned_data["role"])})


class WithdrawalForm(forms.Form):
    reason = forms.CharField(
        label=_("Why does the value no longer hold?"), max_length=length_of(HourlyRate, "withdrawn_reason")
    )
