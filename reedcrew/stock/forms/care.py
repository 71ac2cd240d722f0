from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.stock.forms.sets import SetsField
from reedcrew.stock.models import GearSet, Kind
from reedcrew.stock.queries import SetState
from reedcrew.stock.queries.care import CountedCare
from reedcrew.stock.services import Pieces
from reedcrew.web.forms import CountField, SubmissionMixin
from reedcrew.web.times import day_text


class CareForm(SubmissionMixin):
    """Which of the waiting pieces were cleaned, or are dry."""

    kind = forms.TypedChoiceField(
        choices=[(kind.value, kind.label) for kind in (Kind.CLEANED, Kind.DRIED)], coerce=Kind, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, sets: Sequence[SetState], counted: Sequence[CountedCare], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.counted = counted
        field = SetsField(label=_("Sets"), required=False, words={each.gear_set.pk: _words(each) for each in sets})
        field.queryset = GearSet.objects.filter(pk__in=[each.gear_set.pk for each in sets]).for_page()
        if sets:
            self.fields["sets"] = field
        for each in counted:
            self.fields[f"line_{each.line.pk}"] = CountField(
                label=str(each.line),
                required=False,
                max_value=each.number,
                help_text=gettext("%(number)d wait. Empty means none.") % {"number": each.number},
            )

    @property
    def pieces(self) -> list[Pieces]:
        """The counted pieces that were entered."""
        entered = ((each.line, self.cleaned_data.get(f"line_{each.line.pk}")) for each in self.counted)
        return [Pieces(line=line, number=number) for line, number in entered if number]


def _words(state: SetState) -> str:
    """Where it was last, and since when it is as it is."""
    words = [str(state.place.label)]
    if state.occasion is not None:
        words.append(gettext("used at “%(title)s”") % {"title": state.occasion.title})
    if state.last is not None:
        words.append(gettext("since %(day)s") % {"day": day_text(state.last.entry.made_at.date())})
    return ", ".join(words)
