"""Forms of the ledger: which hours, corrections, travel and preparation, reasons."""

from typing import Any

from django import forms
from django.db.models import Exists, OuterRef
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.forms.evidence import EvidenceField
from reedcrew.grants.models import ACTIVITIES, KINDS, ROLES, Approval, Grant, HourEntry, Release
from reedcrew.grants.queries.ledger import Slice
from reedcrew.grants.services import ExtraHours
from reedcrew.people.models import Group, Member
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import ACTIVITIES as ACTIVITIES_OF
from reedcrew.trade.valuation import Activity, Kind, Role
from reedcrew.web.forms import DayField, Fieldset, RowsField, SiteTimeField
from reedcrew.web.lengths import length_of
from reedcrew.workdays.models import SignUp, WorkDay

_EXTRA = [each.value for kind in (Kind.TRAVEL, Kind.PREPARATION) for each in ACTIVITIES_OF[kind]]


def kind_of(activity: Activity) -> Kind:
    """The kind of hour that an activity belongs to."""
    return next(kind for kind, activities in ACTIVITIES_OF.items() if activity in activities)


class SliceForm(forms.Form):
    """Which hours: by grant, stand, kind and period. Every field may stay empty."""

    grant = forms.ModelChoiceField(
        label=_("Grant"), queryset=Grant.objects.none(), required=False, empty_label=_("any or none")
    )
    stand = forms.ModelChoiceField(
        label=_("Stand"), queryset=Stand.objects.none(), required=False, empty_label=_("every stand")
    )
    kind = forms.ChoiceField(label=_("Kind of hour"), choices=[("", _("every kind")), *KINDS], required=False)
    first = DayField(label=_("From"), required=False)
    last = DayField(label=_("To, included"), required=False)
    unclaimed = forms.BooleanField(label=_("Only hours that no grant counts"), required=False)

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
    role = forms.TypedChoiceField(label=_("Worked as"), choices=ROLES, coerce=Role)
    activity = forms.TypedChoiceField(label=_("What was done"), coerce=Activity)
    reason = forms.CharField(label=_("Why is it corrected?"), max_length=length_of(HourEntry, "reason"))

    def __init__(self, *args: Any, entry: HourEntry, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("started_at", "ended_at"):
            self.fields[name].zone = entry.stand.site.zone_info  # type: ignore[attr-defined]  # SiteTimeField
        known = {each.value for each in ACTIVITIES_OF[Kind(entry.kind)]}
        choices = [(value, word) for value, word in ACTIVITIES if value in known]
        self.fields["activity"].choices = choices  # type: ignore[attr-defined]  # TypedChoiceField


class ExtraHoursForm(forms.Form):
    """Travel or preparation of some people, together."""

    activity = forms.TypedChoiceField(
        label=_("What was done"),
        choices=[(value, word) for value, word in ACTIVITIES if value in _EXTRA],
        initial=Activity.ON_THE_WAY.value,
        coerce=Activity,
        help_text=_("The way to the site and back is two entries: one before the day, one after it."),
    )
    role = forms.TypedChoiceField(
        label=_("Worked as"),
        choices=ROLES,
        initial=Role.CREW.value,
        coerce=Role,
        help_text=_("The value of an hour follows the task, not the person's profession."),
    )
    started_at = SiteTimeField(label=_("Start"))
    ended_at = SiteTimeField(label=_("End"))
    members = RowsField(
        label=_("Who"),
        queryset=Member.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("People on the roster of the day come first. Each gets an entry of their own."),
    )
    evidence = forms.CharField(
        label=_("What shows it"),
        max_length=length_of(HourEntry, "evidence"),
        help_text=_("Such as places and distance of a drive, or the list that was worked through."),
    )
    evidence_file = EvidenceField(label=_("File"), required=False, help_text=_("A PDF or a photo, such as a receipt."))

    fieldsets = (
        Fieldset(legend=_("What and when"), fields=("activity", "role", "started_at", "ended_at")),
        Fieldset(legend=_("Evidence"), fields=("evidence", "evidence_file")),
        Fieldset(legend=_("People"), fields=("members",)),
    )

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("started_at", "ended_at"):
            self.fields[name].zone = day.zone_info  # type: ignore[attr-defined]  # SiteTimeField
        on_day = SignUp.objects.active().filter(day=day, member=OuterRef("pk"))
        people = Member.objects.filter(group=day.group).current() | Member.objects.filter(sign_ups__day=day)
        ordered = people.distinct().annotate(on_day=Exists(on_day)).order_by("-on_day", "name", "pk")
        self.fields["members"].queryset = ordered  # type: ignore[attr-defined]  # RowsField

    def hours(self) -> ExtraHours:
        """What was entered; call it on a valid form."""
        said = dict(self.cleaned_data)
        return ExtraHours(kind=kind_of(said["activity"]), **{**said, "members": list(said["members"])})


class ReopeningForm(forms.Form):
    reason = forms.CharField(label=_("Why is the day opened again?"), max_length=length_of(Approval, "reopened_reason"))


class ReleaseForm(forms.Form):
    reason = forms.CharField(
        label=_("Why do the hours no longer count toward the grant?"), max_length=length_of(Release, "reason")
    )


class ClaimForm(forms.Form):
    """Which grant counts an hour."""

    grant = forms.ModelChoiceField(label=_("Grant"), queryset=Grant.objects.none(), empty_label=None)

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["grant"].queryset = Grant.objects.filter(group=group)  # type: ignore[attr-defined]  # ModelChoiceField
