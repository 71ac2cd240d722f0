"""Forms of the sign-in page and of the emergency contacts."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.forms.entry import EntryForm
from reedcrew.fieldbook.models import Attendance
from reedcrew.fieldbook.queries import PersonOfDay, Where
from reedcrew.people.forms.members import EmergencyForm
from reedcrew.people.models import Member, PrivateLook
from reedcrew.web.forms import AddressField, DayField, SiteTimeField
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

    member = forms.ModelChoiceField(
        label=_("Who came?"), queryset=Member.objects.none(), empty_label=_("Choose a person")
    )
    place = forms.ChoiceField(label=_("Where will they work?"), choices=SignUp.Place.choices, widget=forms.RadioSelect)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["member"].queryset = (  # type: ignore[attr-defined]  # ModelChoiceField
            Member.objects.current()
            .filter(group=day.group)
            .exclude(pk__in=day.sign_ups.active().values("member"))
            .with_profile()
        )


class NewcomerForm(EntryForm, EmergencyForm):
    """Somebody whom the group does not know: what a sign-up asks, and whom to call. They start on land."""

    name = forms.CharField(label=_("Name"), max_length=length_of(Member, "name"))
    age = forms.ChoiceField(
        label=_("Age"), choices=[("adult", _("18 or older")), ("minor", _("under 18"))], widget=forms.RadioSelect
    )
    email = AddressField(
        label=_("Email address"),
        required=False,
        help_text=_("Of an adult who wants to sign in later and fill in a profile. It may stay empty."),
    )
    guardian = forms.ModelChoiceField(
        label=_("Guardian, for somebody under 18"),
        queryset=Member.objects.none(),
        required=False,
        empty_label=_("nobody: they are 18 or older"),
    )
    born_on = DayField(label=_("Date of birth, for somebody under 18"), required=False)
    consent = forms.BooleanField(
        label=_("The guardian is a parent or legal guardian and agrees that this child takes part"),
        required=False,
        help_text=_("Kept with the guardian's name and the date. Local rules on minors come first."),
    )
    health_note = None  # type: ignore[assignment]  # how a form leaves out a field of its parent
    field_order = ("name", "age", "email", "guardian", "born_on", "consent")

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        here = Attendance.objects.on_site().filter(day=day).values("member")
        self.fields["guardian"].queryset = Member.objects.current().filter(  # type: ignore[attr-defined]  # by its class
            group=day.group, pk__in=here, guardian=None
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("age") == "adult" and (cleaned.get("guardian") or cleaned.get("consent")):
            self.add_error("age", _("A guardian stands here: choose “under 18”, or leave the guardian's lines empty."))
        return cleaned

    def newcomer(self) -> dict[str, Any]:
        """The answers as services.add_newcomer takes them."""
        answers = {name: self.cleaned_data[name] for name in self.fields if name != "age"}
        return {**answers, "adult": self.cleaned_data["age"] == "adult"}


class KioskNewcomerForm(NewcomerForm):
    """The same on a phone that is passed around: no address is asked where others look on."""

    email = None  # type: ignore[assignment]  # as above

    def newcomer(self) -> dict[str, Any]:
        return {**super().newcomer(), "email": ""}


class LookForm(forms.Form):
    why = forms.CharField(
        label=_("Why do you open them?"),
        max_length=length_of(PrivateLook, "why"),
        help_text=_("Each person sees on their own page who looked, when and why."),
    )
