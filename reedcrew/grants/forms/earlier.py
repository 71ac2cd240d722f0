"""Forms of the import of earlier seasons."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from reedcrew.grants.earlier.cells import DateOrder
from reedcrew.grants.earlier.judging import COLUMN_WORDS, REQUIRED, Column
from reedcrew.grants.earlier.spreadsheet import Cell, column_name
from reedcrew.web.forms import Fieldset

ORDERS = [
    (DateOrder.YEAR_FIRST.value, _("year, month, day: 2024-07-18")),
    (DateOrder.DAY_FIRST.value, _("day, month, year: 18.7.2024")),
    (DateOrder.MONTH_FIRST.value, _("month, day, year: 7/18/2024")),
]


class UploadForm(forms.Form):
    file = forms.FileField(
        label=_("Spreadsheet"),
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx"}),
        help_text=_(
            "CSV in UTF-8 or XLSX, with a head in the first row and a row for each person and day. Of a workbook the "
            "first sheet is read."
        ),
    )


class ColumnsForm(forms.Form):
    """What is in which column of the file."""

    order = forms.TypedChoiceField(
        label=_("Days are written as"),
        choices=ORDERS,
        coerce=DateOrder,
        help_text=_("Cells that a spreadsheet program knows as days are read as they are."),
    )

    fieldsets = (
        Fieldset(legend=pgettext_lazy("columns", "Needed"), fields=(*(column.value for column in REQUIRED), "order")),
        Fieldset(
            legend=_("If there are any"),
            fields=tuple(column.value for column in Column if column not in REQUIRED),
        ),
    )

    def __init__(self, *args: Any, head: Sequence[Cell], guessed: Mapping[str, int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(number, f"{column_name(number)}: {cell or '–'}"[:80]) for number, cell in enumerate(head)]
        for column in Column:
            needed = column in REQUIRED
            self.fields[column.value] = forms.TypedChoiceField(
                label=COLUMN_WORDS[column],
                choices=[("", _("choose a column") if needed else _("not in the file")), *choices],
                coerce=int,
                empty_value=None,
                required=needed,
                initial=guessed.get(column.value, ""),
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        seen: dict[int, Column] = {}
        for column in Column:
            place = cleaned.get(column.value)
            if place is not None and place in seen:
                other = COLUMN_WORDS[seen[place]]
                self.add_error(column.value, _("This column was chosen for “%(other)s” already.") % {"other": other})
            elif place is not None:
                seen[place] = column
        return cleaned

    def columns(self) -> dict[Column, int]:
        """Where each column stands, from 0; call it on a valid form."""
        return {each: self.cleaned_data[each.value] for each in Column if self.cleaned_data[each.value] is not None}
