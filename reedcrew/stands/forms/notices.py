"""Forms of notices of authorities."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import SiteNotice
from reedcrew.trade.season import YEAR_MAX, YEAR_MIN, Effect, MonthDay
from reedcrew.web.fieldsets import Fieldset
from reedcrew.web.forms import CountField, DayField, MonthDayField, StaleCheckMixin, SubmissionMixin
from reedcrew.web.lengths import length_of


class NoticeForm(forms.ModelForm):  # type: ignore[type-arg]  # they exist in the stubs only
    """A notice as it was issued."""

    kind = forms.ChoiceField(label=_("About"), choices=SiteNotice.Kind.choices, widget=forms.RadioSelect)
    effect = forms.ChoiceField(
        label=_("What it is"),
        choices=SiteNotice.EFFECTS,
        initial=Effect.FORBIDS.value,
        widget=forms.RadioSelect,
        help_text=_("A permission closes all days outside its dates; a prohibition closes its own days."),
    )
    scope = forms.ChoiceField(
        label=_("Applies to"),
        choices=SiteNotice.Scope.choices,
        initial=SiteNotice.Scope.WHOLE_SITE.value,
        widget=forms.RadioSelect,
        help_text=_("When unsure, choose all work. A notice for water leaves zones open that are dry on the day."),
    )
    force = forms.ChoiceField(
        label=_("How strict it is"),
        choices=SiteNotice.Force.choices,
        initial=SiteNotice.Force.STOP.value,
        widget=forms.RadioSelect,
    )
    opens = MonthDayField(label=_("First day"), build=MonthDay)
    closes = MonthDayField(
        label=_("Last day"),
        build=MonthDay,
        help_text=_("Included. It may lie before the first day: over the new year."),
    )
    year = CountField(
        label=_("Only in the year"),
        required=False,
        min_value=YEAR_MIN,
        max_value=YEAR_MAX,
        help_text=_(
            "Leave empty for dates of every year. The year of the first day, where they run over the new year."
        ),
    )
    issued_on = DayField(label=_("Issued on"), required=False)

    fieldsets = (
        Fieldset(legend=_("The notice"), fields=("issuer", "reference", "issued_on", "kind")),
        Fieldset(
            legend=_("What it says"),
            fields=("effect", "scope", "force", "opens", "closes", "year", "note"),
            why=_("Enter what is written, not what you suppose. Where it is unclear, ask who issued it."),
        ),
    )

    class Meta:
        model = SiteNotice
        fields = [
            "issuer",
            "reference",
            "issued_on",
            "kind",
            "effect",
            "scope",
            "force",
            "opens",
            "closes",
            "year",
            "note",
        ]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "issuer": _("Who has the say here, as the notice names them."),
            "reference": _("Its number or title, so that others find it."),
            "note": _("Conditions in its own words, such as distances or who must be told."),
        }


class RecordNoticeForm(SubmissionMixin, NoticeForm):
    """A new notice; sent twice it makes one."""


class ChangeNoticeForm(StaleCheckMixin, NoticeForm):
    """A notice that is there already."""


class EndNoticeForm(forms.Form):
    """The last day of a notice."""

    until = DayField(label=_("Last day on which it holds"))
    because = forms.CharField(
        label=_("Why it ends"),
        max_length=length_of(SiteNotice, "ended_because"),
        help_text=_("Who withdrew it or which notice replaces it."),
    )

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"until": today})
        super().__init__(*args, **kwargs)
