"""Forms of the gear page of a day. What one press hands out stands in the form: it is what its reader saw."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.gear.queries import PersonGear
from reedcrew.people.models import Group, Member
from reedcrew.stock.forms import SetsField
from reedcrew.stock.models import Entry, GearSet, Kind, StockLine
from reedcrew.stock.services import Pieces
from reedcrew.trade.stock_sizes import COUNT_MAX
from reedcrew.web.forms import CountField, SubmissionMixin
from reedcrew.web.lengths import length_of
from reedcrew.workdays.models import WorkDay

KEY_DIGITS = 18  # a key has 63 bits


class PressForm(SubmissionMixin):
    """The gear of one press: keys of sets, and ``line:number`` of counted pieces, with commas between."""

    sets = SetsField(required=False, widget=forms.MultipleHiddenInput)
    pieces = forms.CharField(required=False, max_length=2000, widget=forms.HiddenInput)

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.group = group
        sets: Any = self.fields["sets"]
        sets.queryset = GearSet.objects.of_group(group).for_page()

    def clean_pieces(self) -> list[Pieces]:
        """The counted pieces. Raises ValidationError for what the page never wrote."""
        found = [part.partition(":") for part in self.cleaned_data["pieces"].split(",") if part]
        digits = [number for line, _colon, number in found for number in (line, number)]
        if not all(each.isdecimal() and len(each) <= KEY_DIGITS for each in digits):
            raise forms.ValidationError(_("This form came with a broken list. Open the page again."))
        lines = StockLine.objects.of_group(self.group).in_bulk([int(line) for line, _colon, _number in found])
        if len(lines) < len({int(line) for line, _colon, _number in found}):
            raise forms.ValidationError(_("This form names gear that the stock has not. Open the page again."))
        return [Pieces(line=lines[int(line)], number=min(int(number), COUNT_MAX)) for line, _colon, number in found]


def pieces_text(pieces: Sequence[Pieces]) -> str:
    """Counted pieces as the hidden field of a press says them."""
    return ",".join(f"{each.line.pk}:{each.number}" for each in pieces)


class HandOutForm(SubmissionMixin):
    """What one person is handed: the sets that the plan gives, counted pieces, and anything else in stock."""

    other_line = forms.ModelChoiceField(
        label=_("Something else, counted"), queryset=StockLine.objects.none(), required=False, empty_label=_("none")
    )
    other_number = CountField(label=_("How many of it"), required=False, min_value=1, max_value=COUNT_MAX)

    def __init__(
        self, *args: Any, group: Group, person: PersonGear, others: Sequence[GearSet] = (), **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        lines: Any = self.fields["other_line"]
        lines.queryset = StockLine.objects.of_group(group)
        self._sets: dict[str, GearSet] = {}
        for place, wanted in enumerate(person.sets_wanted):
            self._choice(
                f"set_{place}", f"{gettext(wanted.item)} {gettext(wanted.size) if wanted.size else ''}", wanted.choices
            )
            self.initial[f"set_{place}"] = str(wanted.booked.pk) if wanted.booked else ""
        for each in person.counted_wanted:
            self.fields[f"line_{each.line.pk}"] = CountField(
                label=str(each.line), required=False, max_value=COUNT_MAX, initial=each.number
            )
        self._choice("other_set", gettext("Another set"), others)
        self.order_fields([name for name in self.fields if not name.startswith("other_")])

    def _choice(self, name: str, label: str, sets: Sequence[GearSet]) -> None:
        self._sets.update({str(each.pk): each for each in sets})
        self.fields[name] = forms.ChoiceField(
            label=label.strip().capitalize(),
            required=False,
            choices=[("", pgettext_lazy("a set", "none")), *((str(each.pk), str(each)) for each in sets)],
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("other_line") and not cleaned.get("other_number") and "other_number" not in self.errors:
            self.add_error("other_number", _("Write how many of it."))
        if cleaned.get("other_number") and not cleaned.get("other_line") and "other_line" not in self.errors:
            self.add_error("other_line", _("Choose what the number is of."))
        chosen = self._chosen()
        if len(chosen) > len({each.pk for each in chosen}):
            self.add_error(None, _("The same set was chosen twice."))
        return cleaned

    def _chosen(self) -> list[GearSet]:
        names = [name for name in self.fields if name.startswith("set_") or name == "other_set"]
        return [self._sets[key] for name in names if (key := self.cleaned_data.get(name))]

    @property
    def sets(self) -> list[GearSet]:
        return self._chosen()

    @property
    def counted(self) -> list[Pieces]:
        found = [
            Pieces(line=each.line, number=number)
            for each in self.person.counted_wanted
            if (number := self.cleaned_data.get(f"line_{each.line.pk}"))
        ]
        line, number = self.cleaned_data.get("other_line"), self.cleaned_data.get("other_number")
        return [*found, Pieces(line=line, number=number)] if line and number else found


BACK = (Kind.RETURNED, Kind.DAMAGED, Kind.LOST)


class ComeBackForm(SubmissionMixin):
    """What of one person's gear came back, and how; what is not named is still out."""

    def __init__(self, *args: Any, person: PersonGear, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        for each in person.sets_out:
            self.fields[f"set_{each.pk}"] = forms.ChoiceField(
                label=str(each),
                required=False,
                widget=forms.RadioSelect,
                choices=[("", _("still out")), *((kind.value, kind.label) for kind in BACK)],
            )
            self.initial.setdefault(f"set_{each.pk}", "")
        for pieces in person.counted_out:
            for kind in BACK:
                self.fields[f"{kind.value}_{pieces.line.pk}"] = CountField(
                    label=gettext("%(line)s: %(kind)s") % {"line": pieces.line, "kind": kind.label},
                    required=False,
                    max_value=COUNT_MAX,
                    help_text=gettext("%(number)d are out.") % {"number": pieces.number},
                )
        self.fields["note"] = forms.CharField(label=_("Note"), required=False, max_length=length_of(Entry, "note"))

    @property
    def sets(self) -> Mapping[GearSet, Kind]:
        return {each: Kind(kind) for each in self.person.sets_out if (kind := self.cleaned_data.get(f"set_{each.pk}"))}

    @property
    def counted(self) -> list[tuple[Pieces, Kind]]:
        return [
            (Pieces(line=pieces.line, number=number), kind)
            for pieces in self.person.counted_out
            for kind in BACK
            if (number := self.cleaned_data.get(f"{kind.value}_{pieces.line.pk}"))
        ]


class WhoForm(SubmissionMixin):
    """Who gets the set whose label was scanned."""

    member = forms.ModelChoiceField(label=_("Who gets it?"), queryset=Member.objects.none(), widget=forms.RadioSelect)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        members: Any = self.fields["member"]
        members.empty_label = None
        members.queryset = Member.objects.filter(pk__in=day.sign_ups.confirmed().values("member")).order_by(
            "name", "pk"
        )
