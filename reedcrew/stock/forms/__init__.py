"""Forms of the stock: they check the shape; services ask for the meaning."""

from reedcrew.stock.forms.care import CareForm
from reedcrew.stock.forms.lines import FirstCountForm, LabelForm, LineForm, MovementForm
from reedcrew.stock.forms.loans import BorrowForm, LendForm, ReturnForm
from reedcrew.stock.forms.sets import FindSetForm, KeepSetForm, MoveSetForm, SetsField

__all__ = [
    "BorrowForm",
    "CareForm",
    "FindSetForm",
    "FirstCountForm",
    "KeepSetForm",
    "LabelForm",
    "LendForm",
    "LineForm",
    "MoveSetForm",
    "MovementForm",
    "ReturnForm",
    "SetsField",
]
