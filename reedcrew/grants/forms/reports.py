"""What a report is about, and as what file it is wanted."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models import ExportJob, Grant
from reedcrew.web.forms import DayField
from reedcrew.web.times import day_text


class PeriodForm(forms.Form):
    """A period inside the grant's own; both days belong to it."""

    first = DayField(label=_("From"))
    last = DayField(label=_("To, included"))

    def __init__(self, *args: Any, grant: Grant, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.grant = grant

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        starts, ends = self.grant.starts_on, self.grant.ends_on
        if first and not starts <= first <= ends:
            text = _("The grant runs from %(first)s to %(last)s: begin on one of these days.")
            self.add_error("first", text % {"first": day_text(starts), "last": day_text(ends)})
        if last and not starts <= last <= ends:
            text = _("The grant runs from %(first)s to %(last)s: end on one of these days.")
            self.add_error("last", text % {"first": day_text(starts), "last": day_text(ends)})
        if first and last and last < first:
            self.add_error("last", _("The period must not end before it begins: give a later day."))
        return cleaned


class ExportForm(PeriodForm):
    """The period again, unseen, and the kind of file."""

    form = forms.ChoiceField(label=_("As"), choices=ExportJob.Form.choices, widget=forms.RadioSelect)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("first", "last"):
            self.fields[name].widget = forms.HiddenInput()


class CertificateForm(forms.Form):
    """From when to when; each may stay empty."""

    first = DayField(label=_("From"), required=False)
    last = DayField(label=_("To, included"), required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        if first and last and last < first:
            self.add_error("last", _("The period must not end before it begins: give a later day."))
        return cleaned
