"""Forms of the bench: pinning, and asking what would change. Plain lists and buttons; a script may fill them in."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.models import ROLES, PlanPin
from reedcrew.crews.services import PinFacts
from reedcrew.people.models import Group, Member
from reedcrew.stands.models import Zone
from reedcrew.stock.queries import trade_stock
from reedcrew.trade.changes import Change, PeopleChange, StockChange, WaterChange
from reedcrew.trade.items import Item
from reedcrew.trade.pins import NEEDS_OTHER, NEEDS_ROLE, NEEDS_ZONE, PinKind
from reedcrew.trade.plan import Role
from reedcrew.web.forms import CountField
from reedcrew.web.sentences import terms
from reedcrew.workdays.models import WorkDay

PEOPLE_MAX = 40  # who could still come; more is another day (convention)
STOCK_ALL = 100_000  # more than any group has of one size: none of it is left
WATER_CM_MAX = 200  # higher or lower; no wetland that people wade in rises more within days (convention)


class PinForm(forms.Form):
    """One pin. Which of the last three are needed follows from the kind."""

    kind = forms.ChoiceField(label=_("What to pin"), choices=PlanPin.KINDS)
    member = forms.ModelChoiceField(label=_("Person"), queryset=Member.objects.none(), empty_label=_("Choose a person"))
    other = forms.ModelChoiceField(
        label=_("Other person"),
        queryset=Member.objects.none(),
        required=False,
        empty_label=_("nobody else"),
        help_text=_("For two who work, or never work, in one unit."),
    )
    zone = forms.ModelChoiceField(
        label=_("Zone"),
        queryset=Zone.objects.none(),
        required=False,
        empty_label=_("no zone"),
        help_text=_("For a zone, or where a role is."),
    )
    role = forms.ChoiceField(
        label=_("Role"), choices=[("", _("no role")), *ROLES], required=False, help_text=_("For a role on shore.")
    )

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.auto_id = "pin_%s"
        here = Member.objects.filter(pk__in=day.sign_ups.expected().values("member")).order_by("name", "pk")
        self.fields["member"].queryset = here  # type: ignore[attr-defined]  # of the field's own class
        self.fields["other"].queryset = here  # type: ignore[attr-defined]  # as above
        self.fields["zone"].queryset = day.zones.order_by("name", "pk")  # type: ignore[attr-defined]  # as above

    def clean(self) -> dict[str, Any]:
        """Ask for what the kind needs."""
        data: dict[str, Any] = super().clean() or {}
        kind = data.get("kind")
        for field, kinds, ask in (
            ("other", NEEDS_OTHER, _("Choose the other person.")),
            ("zone", NEEDS_ZONE, _("Choose the zone.")),
            ("role", NEEDS_ROLE, _("Choose the role.")),
        ):
            if kind in kinds and not data.get(field) and field not in self.errors:
                self.add_error(field, ask)
        if kind == PinKind.ROLE and data.get("role") == Role.SPOTTER and not data.get("zone") and not self.errors:
            self.add_error("zone", _("Choose the zone that they watch."))
        if kind in NEEDS_OTHER and data.get("other") and data.get("other") == data.get("member"):
            self.add_error("other", _("Choose somebody else: nobody is in a unit with themself."))
        return data

    def facts(self) -> PinFacts:
        """What the form says."""
        data = self.cleaned_data
        return PinFacts(
            kind=PinKind(data["kind"]),
            member=data["member"],
            other=data["other"],
            zone=data["zone"],
            role=data["role"],
        )


class WhatIfForm(forms.Form):
    """What could be otherwise. Sent in the address, since nothing is stored."""

    people = CountField(label=_("More people ready for water"), max_value=PEOPLE_MAX, required=False)
    experienced = forms.BooleanField(label=_("They have worked in water before"), required=False)
    water_cm = CountField(
        label=_("Water higher by"),
        unit="cm",
        min_value=-WATER_CM_MAX,
        max_value=WATER_CM_MAX,
        required=False,
        help_text=_("With a minus sign: lower."),
        widget=forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"}),
    )
    without = forms.ChoiceField(label=_("None of this gear"), required=False)

    def __init__(self, *args: Any, group: Group, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.auto_id = "what_if_%s"
        lines = {(line.item, line.size) for line in trade_stock(group)}
        self._lines: Mapping[str, tuple[Item, str]] = {
            f"{item.value}|{size}": (item, size) for item, size in sorted(lines)
        }
        self.fields["without"].choices = [  # type: ignore[attr-defined]  # of the field's own class
            ("", _("all of it is there")),
            *((key, terms(item.value, size)) for key, (item, size) in self._lines.items()),
        ]

    @classmethod
    def is_asked(cls, sent: Mapping[str, Any]) -> bool:
        """Whether an address has fields of this form."""
        return any(name in sent for name in cls.base_fields)

    def clean(self) -> dict[str, Any]:
        """Ask for at least one thing that is otherwise."""
        data: dict[str, Any] = super().clean() or {}
        if not self.errors and not any(data.get(name) for name in ("people", "water_cm", "without")):
            self.add_error(None, _("Say what would be otherwise: people, water or gear."))
        return data

    def changes(self) -> Sequence[Change]:
        """What the form says, as the trade takes it."""
        data = self.cleaned_data
        found: list[Change] = []
        if data["people"]:
            found.append(PeopleChange(count=data["people"], experienced=data["experienced"]))
        if data["water_cm"]:
            found.append(WaterChange(by_cm=data["water_cm"]))
        if data["without"]:
            item, size = self._lines[data["without"]]
            found.append(StockChange(item=item, size=size, count=-STOCK_ALL))
        return found
