"""Forms of stems and loads, and of what is struck out."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.forms.entry import EntryForm
from reedcrew.fieldbook.models import LOAD_COUNT_MAX, Attendance, DayPhoto, Incident, Load, Tally
from reedcrew.fieldbook.models.incidents import INCIDENT_TEXT_MAX
from reedcrew.stands.models import Zone
from reedcrew.trade import effort
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.errors import UnusableInput
from reedcrew.web.forms import CountField, PhotosField, SiteTimeField
from reedcrew.web.lengths import length_of
from reedcrew.workdays.models import WorkDay


class TallyForm(EntryForm):
    """Stems of one zone, counted or by bundles."""

    zone = forms.ModelChoiceField(label=_("Zone"), queryset=Zone.objects.none(), empty_label=None)
    unit_number = CountField(label=_("Unit"), required=False, min_value=1, max_value=200)
    method = forms.ChoiceField(
        label=_("How counted"), choices=Tally.Method.choices, initial=Tally.Method.COUNTED, widget=forms.RadioSelect
    )
    stems = CountField(label=_("Stems, if counted"), required=False, min_value=0, max_value=STEMS_MAX)
    bundles = CountField(label=_("Bundles"), required=False, min_value=1, max_value=effort.BUNDLES_MAX)
    sample = forms.CharField(
        label=_("Stems in some of the bundles"),
        required=False,
        help_text=_("Count the stems of at least two bundles picked without choosing, such as: 212, 198, 240."),
    )

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].queryset = day.zones.all()  # type: ignore[attr-defined]  # ModelChoiceField

    def clean_sample(self) -> Sequence[int]:
        written = self.cleaned_data["sample"].replace(",", " ").replace(";", " ").split()
        longest = len(str(STEMS_MAX))  # a longer run of digits is no number of stems
        if not all(number.isdecimal() and len(number) <= longest for number in written):
            raise forms.ValidationError(_("Write whole numbers with commas between, such as: 212, 198, 240."))
        return [int(number) for number in written]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        if cleaned["method"] == Tally.Method.COUNTED:
            if cleaned["stems"] is None:
                self.add_error("stems", _("Give the number of stems that were counted."))
        elif cleaned["bundles"] is None or not cleaned["sample"]:
            self.add_error(
                "bundles" if cleaned["bundles"] is None else "sample",
                _("Give both the number of bundles and the stems of some of them."),
            )
        else:
            self._ask_effort(cleaned["bundles"], cleaned["sample"])
        return cleaned

    def _ask_effort(self, bundles: int, sample: Sequence[int]) -> None:
        try:
            effort.from_bundles(bundles, sample)
        except UnusableInput as unusable:
            for fault in unusable.faults:
                self.add_error("sample" if fault.where.startswith("sample") else "bundles", fault.message)


class LoadForm(EntryForm):
    """Where cut material went."""

    kind = forms.ChoiceField(label=_("Put away as"), choices=Load.Kind.choices, widget=forms.RadioSelect)
    count = CountField(label=_("How many"), min_value=1, max_value=LOAD_COUNT_MAX)
    seed_heads = forms.BooleanField(label=_("There are seed heads in it"), required=False)
    place = forms.CharField(label=_("Where"), max_length=length_of(Load, "place"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("kind") == Load.Kind.PILE and cleaned.get("seed_heads"):
            self.add_error("kind", _("Material with seed heads goes into bags: seed would blow from a pile."))
        return cleaned


class DayPhotosForm(forms.Form):
    """Photos of one zone, before the work or after it."""

    kind = forms.ChoiceField(label=_("Taken"), choices=DayPhoto.Kind.choices, widget=forms.RadioSelect)
    zone = forms.ModelChoiceField(
        label=_("Zone"), queryset=Zone.objects.none(), required=False, empty_label=_("the whole stand")
    )
    photos = PhotosField(
        label=_("Photos"),
        help_text=_("JPEG, PNG or WebP, at most 15 MB each. What the camera adds, such as the place, is removed."),
    )

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].queryset = day.zones.all()  # type: ignore[attr-defined]  # ModelChoiceField


class MovedOnForm(forms.Form):
    to = forms.CharField(
        label=_("Where did it go?"),
        max_length=length_of(Load, "moved_on_to"),
        help_text=_("Such as: landfill of the county. Burning and compost only where local rules allow it."),
    )


class IncidentForm(EntryForm):
    """What went wrong, in the words of who saw it."""

    kind = forms.ChoiceField(label=_("What kind?"), choices=Incident.Kind.choices, widget=forms.RadioSelect)
    happened_at = SiteTimeField(label=_("When?"), required=False, help_text=_("Empty means now."))
    what = forms.CharField(label=_("What happened?"), max_length=INCIDENT_TEXT_MAX, widget=forms.Textarea)
    who = forms.CharField(label=_("Who was hurt or in danger?"), required=False, max_length=INCIDENT_TEXT_MAX)
    first_aid = forms.CharField(
        label=_("What first aid was given, by whom?"), required=False, max_length=INCIDENT_TEXT_MAX
    )
    witness = forms.CharField(label=_("Who saw it?"), required=False, max_length=INCIDENT_TEXT_MAX)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["happened_at"].zone = day.zone_info  # type: ignore[attr-defined]  # SiteTimeField


class StrikeForm(forms.Form):
    reason = forms.CharField(label=_("Why is it wrong?"), max_length=length_of(Attendance, "struck_reason"))
