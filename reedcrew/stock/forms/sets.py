from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.stock.models import Entry, GearSet, Kind
from reedcrew.web.forms import RowsField, StaleCheckMixin, SubmissionMixin
from reedcrew.web.lengths import length_of


class SetsField(RowsField):
    """Some sets, ticked. ``words`` says by key what stands beside each."""

    def __init__(self, *, words: Mapping[int, str] | None = None, **kwargs: Any) -> None:
        self.words = words or {}
        kwargs.setdefault("widget", forms.CheckboxSelectMultiple)
        super().__init__(GearSet.objects.none(), **kwargs)

    def label_from_instance(self, obj: Any) -> str:
        beside = self.words.get(obj.pk)
        return f"{obj} ({beside})" if beside else str(obj)


class MoveSetForm(SubmissionMixin):
    """What happened to one set."""

    kind = forms.TypedChoiceField(label=_("What happened"), coerce=Kind, widget=forms.RadioSelect)
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=length_of(Entry, "note"),
        help_text=_("For example where it leaks, or where it was seen last."),
    )

    def __init__(self, *args: Any, kinds: Sequence[Kind], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["kind"]
        field.choices = [(kind.value, kind.label) for kind in kinds]


class KeepSetForm(StaleCheckMixin):
    """Where a set is kept."""

    shelf = forms.CharField(
        label=_("Where it is kept"),
        required=False,
        max_length=length_of(GearSet, "shelf"),
        help_text=GearSet._meta.get_field("shelf").help_text,
    )
    note = forms.CharField(label=_("Note"), required=False, max_length=length_of(GearSet, "note"))


class FindSetForm(forms.Form):
    """A set by what its label says: the code, or the number."""

    code = forms.CharField(
        label=_("Code or number on the label"),
        max_length=20,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"}),
    )

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.group = group

    def clean_code(self) -> GearSet:
        """The set. Raises ValidationError when the group has none with this code or number."""
        written = self.cleaned_data["code"].strip().upper()
        sets = GearSet.objects.of_group(self.group).for_page()
        found = sets.filter(code=written).first()
        if found is None and written.isdecimal() and len(written) <= len(str(2**31)) - 1:
            found = sets.filter(number=int(written)).first()
        if found is None:
            raise forms.ValidationError(_("The group has no set with this code or number. Look at the label again."))
        return found
