"""Putting a form's fields into titled groups."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.forms import BaseForm, BoundField
from django.utils.functional import Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class Fieldset:
    """A titled group of a form's fields. A form names its groups in an attribute ``fieldsets``."""

    legend: str | Promise
    fields: Sequence[str]
    why: str | Promise = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupedFields:
    """A group as it is printed; without ``legend`` it is the rest that no fieldset names."""

    legend: str | Promise
    why: str | Promise
    fields: list[BoundField]


def grouped(form: BaseForm) -> list[GroupedFields]:
    """Visible fields by fieldset, the rest last.

    A field that the form does not have (left out for this person) is passed over; an empty group is not shown.
    """
    sets: Sequence[Fieldset] = getattr(form, "fieldsets", ())
    visible = {field.name: field for field in form.visible_fields()}
    groups = []
    for fieldset in sets:
        fields = [visible.pop(name) for name in fieldset.fields if name in visible]
        if fields:
            groups.append(GroupedFields(legend=fieldset.legend, why=fieldset.why, fields=fields))
    if visible:
        groups.append(GroupedFields(legend="", why="", fields=list(visible.values())))
    return groups
