from collections.abc import Container
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stock.models import Entry, GearSet, Kind, Place, StockLine
from reedcrew.stock.services import COUNTED_KINDS, Counted
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import COUNT_MAX, FIRST_COUNT, FOOT_LABELS, GLOVE_LABELS, JACKET_LABELS
from reedcrew.web.forms import CountField, Fieldset, SubmissionMixin
from reedcrew.web.lengths import length_of
from reedcrew.web.sentences import terms

LABELS = _("Each piece gets a number and a code of its own")
LABELS_HELP = _("For what is looked after one by one: chest waders, life jackets, first-aid kits, sharp tools.")
SIZES = [
    ("", _("no size")),
    (_("Chest waders and boots: EU size"), [(label, label) for label in FOOT_LABELS]),
    (_("Life jackets: class on the label"), [(label, _(label)) for label in JACKET_LABELS]),
    (_("Gloves: size on the label"), [(label, label) for label in GLOVE_LABELS]),
]
SIZE_HELP = _("What the label of the thing says. Waders and boots that fit are found by it.")


class MovementForm(SubmissionMixin):
    """Why the count of a line changes."""

    kind = forms.TypedChoiceField(
        label=_("What happened"),
        choices=[(kind.value, kind.label) for kind in COUNTED_KINDS],
        coerce=Kind,
        widget=forms.RadioSelect,
    )
    number = CountField(
        label=_("How many"),
        max_value=COUNT_MAX,
        help_text=_("How many came or went. After a recount: how many without a label are in stock now."),
    )
    source = forms.TypedChoiceField(
        label=_("Which of them"),
        required=False,
        coerce=Place,
        empty_value=None,
        choices=[
            ("", _("those in stock")),
            *((place.value, place.label) for place in (Place.USED, Place.WASHED, Place.REPAIR)),
        ],
        help_text=_("Matters for what was found damaged, lost or worn out."),
    )
    labels = forms.BooleanField(label=LABELS, required=False, help_text=_("Only for what was received."))
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=length_of(Entry, "note"),
        help_text=_("For example the tear that was found, or the donor."),
    )


class LineForm(SubmissionMixin):
    """A kind and size of gear that is new in the stock."""

    item = forms.TypedChoiceField(label=_("Item"), choices=[("", "—"), *StockLine.ITEMS], coerce=Item)
    size = forms.ChoiceField(label=_("Size"), required=False, choices=SIZES, help_text=SIZE_HELP)
    number = CountField(label=_("How many are there now"), min_value=1, max_value=COUNT_MAX)
    labels = forms.BooleanField(label=LABELS, required=False, help_text=LABELS_HELP)
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=length_of(StockLine, "note"),
        help_text=StockLine._meta.get_field("note").help_text,
    )


class LabelForm(SubmissionMixin):
    """Counted pieces that become sets."""

    number = CountField(label=_("How many get a label"), min_value=1, max_value=COUNT_MAX)
    shelf = forms.CharField(
        label=_("Where they are kept"),
        required=False,
        max_length=length_of(GearSet, "shelf"),
        help_text=GearSet._meta.get_field("shelf").help_text,
    )


class FirstCountForm(SubmissionMixin):
    """What a new group has, in one go: a number for each common thing, empty for none."""

    def __init__(self, *args: Any, there: Container[tuple[str, str]], **kwargs: Any) -> None:
        """``there`` are items and sizes that have a line already: they are not asked again."""
        super().__init__(*args, **kwargs)
        self.asked: dict[str, tuple[Item, str]] = {}
        sized: list[str] = []
        plain: list[str] = []
        for item, sizes in FIRST_COUNT:
            for size in sizes:
                name = f"{item}-{size}".replace(" ", "-")
                if (item.value, size) not in there:
                    self.asked[name] = item, size
                    words = terms(item.value, size).capitalize()
                    self.fields[name] = CountField(label=words, required=False, max_value=COUNT_MAX)
                    (sized if size else plain).append(name)
        self.fieldsets = (
            Fieldset(
                legend=_("Waders and life jackets"),
                fields=sized,
                why=_("By the size on the label. Leave empty what you do not have: nobody is planned by a guess."),
            ),
            Fieldset(
                legend=_("Tools and the rest"),
                fields=plain,
                why=_("One tool for each person who cuts, and some to spare: they break and get lost."),
            ),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not self.counted:
            raise forms.ValidationError(_("Write at least one number. Gear can also be added later."), code="nothing")
        return cleaned

    @property
    def counted(self) -> list[Counted]:
        """What has a number."""
        numbers = {name: self.cleaned_data.get(name) or 0 for name in self.asked}
        return [
            Counted(item=item, size=size, number=numbers[name])
            for name, (item, size) in self.asked.items()
            if numbers[name]
        ]
