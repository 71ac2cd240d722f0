from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.stock.forms.lines import LABELS, LABELS_HELP, SIZE_HELP, SIZES
from reedcrew.stock.forms.sets import SetsField
from reedcrew.stock.models import GearSet, Loan, StockLine
from reedcrew.stock.queries import states_of_group
from reedcrew.stock.services import Pieces
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import COUNT_MAX
from reedcrew.web.forms import CountField, DayField, SubmissionMixin
from reedcrew.web.lengths import length_of


class LoanForm(SubmissionMixin):
    """With whom, and until when."""

    party = forms.CharField(label=_("The other group"), max_length=length_of(Loan, "party"))
    due_on = DayField(label=_("To be returned on"))


class BorrowForm(LoanForm):
    """Gear that another group lends to this one."""

    item = forms.TypedChoiceField(label=_("Item"), choices=[("", "—"), *StockLine.ITEMS], coerce=Item)
    size = forms.ChoiceField(label=_("Size"), required=False, choices=SIZES, help_text=SIZE_HELP)
    number = CountField(label=_("How many"), min_value=1, max_value=COUNT_MAX)
    labels = forms.BooleanField(label=LABELS, required=False, help_text=LABELS_HELP)


class LendForm(LoanForm):
    """Gear in stock that this group lends to another."""

    line = forms.ModelChoiceField(
        label=_("Counted pieces of"), queryset=StockLine.objects.none(), required=False, empty_label=_("none")
    )
    number = CountField(label=_("How many of them"), required=False, min_value=1, max_value=COUNT_MAX)
    sets = SetsField(label=_("Sets"), required=False)

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        lines: Any = self.fields["line"]
        lines.queryset = StockLine.objects.of_group(group)
        ready = [each for each in states_of_group(group) if each.is_ready and each.gear_set.loan_id is None]
        sets: Any = self.fields["sets"]
        sets.queryset = GearSet.objects.filter(pk__in=[each.gear_set.pk for each in ready]).for_page()
        if not ready:
            del self.fields["sets"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("line") and not cleaned.get("number") and "number" not in self.errors:
            self.add_error("number", _("Write how many of them are lent."))
        if cleaned.get("number") and not cleaned.get("line") and "line" not in self.errors:
            self.add_error("line", _("Choose what the number is of."))
        return cleaned

    @property
    def pieces(self) -> list[Pieces]:
        line, number = self.cleaned_data.get("line"), self.cleaned_data.get("number")
        return [Pieces(line=line, number=number)] if line and number else []


class ReturnForm(SubmissionMixin):
    """How many counted pieces of a loan go back."""

    number = CountField(label=_("How many go back"), min_value=1, max_value=COUNT_MAX)
