"""Forms of the sign-in page and of the emergency contacts."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.queries import PersonOfDay, Where
from reedcrew.people.models import Member, PrivateLook
from reedcrew.web.forms import SiteTimeField
from reedcrew.web.lengths import length_of
from reedcrew.workdays.models import SignUp, WorkDay


class FindForm(forms.Form):
    """Which people of the day the sign-in page shows. Empty is everybody, and so is what cannot be read."""

    name = forms.CharField(label=_("Find by name"), required=False, widget=forms.TextInput(attrs={"type": "search"}))
    where = forms.ChoiceField(label=_("Where"), required=False, choices=[("", _("everybody")), *Where.choices])

    def among(self, people: Sequence[PersonOfDay]) -> list[PersonOfDay]:
        """The people who fit."""
        self.full_clean()
        name, where = (self.cleaned_data.get(field, "") for field in ("name", "where"))
        return [
            person for person in people if name.casefold() in person.name.casefold() and where in {"", person.where}
        ]


class StayForm(forms.Form):
    """When somebody came or left: now, unless another time is given."""

    at = SiteTimeField(label=_("Time"), required=False, help_text=_("Empty means now."))
    in_water = forms.BooleanField(required=False)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"].zone = day.zone_info  # type: ignore[attr-defined]  # SiteTimeField


class WalkUpForm(forms.Form):
    """Somebody of the group who came without having signed up."""

    member = forms.ModelChoiceField(label=_("Who came?"), queryset=Member.objects.none())
    place = forms.ChoiceField(label=_("Where will they work?"), choices=SignUp.Place.choices, widget=forms.RadioSelect)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["member"].queryset = (  # type: ignore[attr-defined]  # ModelChoiceField
            Member.objects.current()
            .filter(group=day.group)
            .exclude(pk__in=day.sign_ups.active().values("member"))
            .with_profile()
        )


class LookForm(forms.Form):
    why = forms.CharField(
        label=_("Why do you open them?"),
        max_length=length_of(PrivateLook, "why"),
        help_text=_("Each person sees on their own page who looked, when and why."),
    )
