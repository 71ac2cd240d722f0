"""Forms of the stock: they check the shape; services ask for the meaning."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stock.models import Movement, StockLine
from reedcrew.stock.services import COUNT_MAX
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import FOOT_LABELS, GLOVE_LABELS, JACKET_LABELS
from reedcrew.web.forms import CountField, SubmissionMixin
from reedcrew.web.lengths import length_of


class MovementForm(SubmissionMixin):
    """Why the count of a line changes."""

    kind = forms.TypedChoiceField(
        label=_("What happened"), choices=Movement.Kind.choices, coerce=Movement.Kind, widget=forms.RadioSelect
    )
    number = CountField(
        label=_("How many"),
        max_value=COUNT_MAX,
        help_text=_("How many came or went. After a recount: how many are there now."),
    )
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=length_of(Movement, "note"),
        help_text=_("For example the tear that was found, or the donor."),
    )


class LineForm(SubmissionMixin):
    """A kind and size of gear that is new in the stock."""

    item = forms.TypedChoiceField(label=_("Item"), choices=[("", "—"), *StockLine.ITEMS], coerce=Item)
    size = forms.ChoiceField(
        label=_("Size"),
        required=False,
        choices=[
            ("", _("no size")),
            (_("Chest waders and boots: EU size"), [(label, label) for label in FOOT_LABELS]),
            (_("Life jackets: class on the label"), [(label, label) for label in JACKET_LABELS]),
            (_("Gloves: size on the label"), [(label, label) for label in GLOVE_LABELS]),
        ],
        help_text=_("What the label of the thing says. Waders and boots that fit are found by it."),
    )
    number = CountField(label=_("How many are there now"), min_value=1, max_value=COUNT_MAX)
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=length_of(StockLine, "note"),
        help_text=StockLine._meta.get_field("note").help_text,
    )
