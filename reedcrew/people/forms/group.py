"""Forms about a group itself: founding, describing, rules."""

from decimal import Decimal
from typing import Any, get_type_hints

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group, Member
from reedcrew.people.policy import RULES, Rule
from reedcrew.trade.policy import Policy
from reedcrew.trade.policy_ranges import RANGES
from reedcrew.trade.season import MonthDay
from reedcrew.web.forms import AddressField, CountField, MonthDayField, NumberField, StaleCheckMixin
from reedcrew.web.lengths import length_of


class GroupForm(forms.Form):
    """What a group says of itself."""

    name = forms.CharField(
        label=_("Name of the group"),
        max_length=length_of(Group, "name"),
        help_text=_("What volunteers call you."),
    )
    contact_email = AddressField(
        label=_("Contact address"),
        help_text=_("Shown on the public page of each work day."),
    )
    about = forms.CharField(
        label=_("About the group"),
        required=False,
        max_length=4000,
        help_text=_("A few sentences for people who think about coming."),
        widget=forms.Textarea(attrs={"rows": 5}),
    )


class EditGroupForm(GroupForm):
    """The same for a group that exists, with the language that it is written to in."""

    language = forms.ChoiceField(
        label=_("Language of the group"),
        choices=settings.LANGUAGES,
        help_text=_("Letters go out in it to everyone who has not chosen a language of their own."),
    )


class FoundGroupForm(GroupForm):
    """A new group and its first organizer."""

    founder_name = forms.CharField(
        label=_("Your name"),
        max_length=length_of(Member, "name"),
        help_text=_("As the group's people know you; it stands on rosters."),
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    adult = forms.BooleanField(
        label=_("I am 18 or older"),
        help_text=_("An organizer answers for everyone's safety on the day, so it must be an adult."),
        error_messages={"required": _("A group is founded by an adult: tick this if you are 18 or older.")},
    )


def rule_field(rule: Rule) -> forms.Field:
    """The field for one value of Policy, with the range of trade.policy_ranges."""
    kind = get_type_hints(Policy)[rule.name]
    common: dict[str, Any] = {"label": rule.label, "help_text": rule.why}
    if kind is MonthDay:
        return MonthDayField(build=MonthDay, **common)
    span = RANGES[rule.name]
    if kind is int:
        return CountField(unit=rule.unit, min_value=int(span.low), max_value=int(span.high), **common)
    return NumberField(
        unit=rule.unit, min_value=Decimal(str(span.low)), max_value=Decimal(str(span.high)), decimal_places=2, **common
    )


class RulesForm(StaleCheckMixin):
    """All values that a group may change, each starting with the one in force."""

    def __init__(self, *args: Any, policy: Policy, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.policy = policy
        for rule in RULES:
            self.fields[rule.name] = rule_field(rule)
            self.initial[rule.name] = getattr(policy, rule.name)

    def values(self) -> dict[str, Any]:
        """The entered values as Policy has them."""
        return {
            rule.name: float(value) if isinstance(value := self.cleaned_data[rule.name], Decimal) else value
            for rule in RULES
        }
