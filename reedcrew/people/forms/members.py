"""Forms about the people of a group."""

import datetime
from collections import Counter
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.people import queries
from reedcrew.people.errors import WishOfOneself
from reedcrew.people.forms.profile import phone_shape
from reedcrew.people.models import Member, PrivateLook, Profile, Wish
from reedcrew.people.roles import Role
from reedcrew.people.services import NewPerson
from reedcrew.people.water import QUESTIONS
from reedcrew.web.forms import AddressField, CountField, DayField
from reedcrew.web.lengths import length_of

_NAME_LENGTH = length_of(Member, "name")
PEOPLE_AT_ONCE = 100  # more is a file, not a form (convention)
_MOST_DAYS = 1000  # what an entry can mean (convention)


class SearchForm(forms.Form):
    """Finds people by parts of their names."""

    q = forms.CharField(label=_("Name"), required=False, max_length=_NAME_LENGTH, strip=True)


class AddMemberForm(forms.Form):
    """A person whom the organizer enters."""

    name = forms.CharField(label=_("Name"), max_length=_NAME_LENGTH)
    email = AddressField(
        label=_("Email address"),
        required=False,
        help_text=_("They sign in with it. Leave it empty for somebody without mail: you then keep their profile."),
    )
    role = forms.ChoiceField(label=_("Role"), choices=Role.choices, initial=Role.VOLUNTEER)
    adult = forms.BooleanField(
        label=_("18 or older"),
        required=False,
        help_text=_("Without this a person counts as under 18. Children are entered by their guardian."),
    )


class SeveralPeopleForm(forms.Form):
    """Several volunteers, one a line; ``clean`` gives them by the number of their line."""

    people = forms.CharField(
        label=_("People, one a line"),
        max_length=PEOPLE_AT_ONCE * 2 * _NAME_LENGTH,
        widget=forms.Textarea(attrs={"rows": 8, "autocomplete": "off"}),
        help_text=_("Name, a comma, mail address. The name alone for somebody without mail."),
    )
    adults = forms.BooleanField(
        label=_("All of them are 18 or older"),
        required=False,
        help_text=_("As far as you know. Without this they count as under 18 and stay out of roles and deep water."),
    )

    def clean_people(self) -> dict[int, NewPerson]:
        """Each line with a name; what is wrong is named with its line."""
        found, wrong = {}, []
        for line, written in enumerate(self.cleaned_data["people"].splitlines(), start=1):
            name, _comma, email = (part.strip() for part in written.replace(";", ",").replace("\t", ",").partition(","))
            if not name and not email:
                continue
            try:
                address = AddressField(required=False).clean(email)
                found[line] = NewPerson(name=forms.CharField(max_length=_NAME_LENGTH).clean(name), email=address)
            except forms.ValidationError as error:
                said = {"line": line, "why": " ".join(error.messages)}
                wrong.append(forms.ValidationError(_("Line %(line)d: %(why)s"), params=said))
        if not found and not wrong:
            wrong.append(forms.ValidationError(_("Write at least one name.")))
        if len(found) > PEOPLE_AT_ONCE:
            wrong.append(forms.ValidationError(_("Enter at most %(most)d at once."), params={"most": PEOPLE_AT_ONCE}))
        if wrong:
            raise forms.ValidationError(wrong)
        return found


class StandingForm(forms.Form):
    """What the organizer decides of a person."""

    role = forms.ChoiceField(
        label=_("Role"), choices=Role.choices, help_text=_("Decides what the person sees and does.")
    )
    trained_lead = forms.BooleanField(
        label=Member._meta.get_field("trained_lead").verbose_name,
        required=False,
        help_text=_("Counts as experienced in a unit in water, so tick it only after a training that you know of."),
    )
    earlier_water_days = CountField(
        label=_("Days worked in water before joining"),
        max_value=_MOST_DAYS,
        help_text=_("As you can confirm them. Each unit in water has an adult with experience."),
    )
    guardian = forms.ModelChoiceField(
        label=QUESTIONS["guardian"].label,
        queryset=Member.objects.none(),
        required=False,
        help_text=QUESTIONS["guardian"].why,
    )

    def __init__(self, *args: Any, member: Member, on: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        profile: Profile = member.profile
        self.initial = {
            "role": member.role,
            "trained_lead": member.trained_lead,
            "earlier_water_days": profile.earlier_water_days,
            "guardian": member.guardian_id,
            **self.initial,
        }
        if profile.adult_on(on):
            del self.fields["guardian"]
        else:
            able = [candidate.pk for candidate in queries.guardians_for(member, on)]
            self.fields["guardian"].queryset = Member.objects.filter(pk__in=able)  # type: ignore[attr-defined]  # by its class


class AddChildForm(forms.Form):
    """A child of the guardian who fills this in."""

    name = forms.CharField(label=_("Name of the child"), max_length=_NAME_LENGTH)
    born_on = DayField(
        label=_("Date of birth"),
        help_text=_("It decides what a child may do, and from which day they count as adults."),
    )
    consent = forms.BooleanField(
        label=_("I am the parent or legal guardian and agree that this child takes part"),
        help_text=_("Kept with your name and the date. Local rules on minors come first."),
        error_messages={"required": _("A child takes part only when a parent or legal guardian agrees.")},
    )


class WishChoiceField(forms.ModelChoiceField):  # type: ignore[type-arg]  # takes no argument at run time
    """People by name; where two share one, their code tells them apart."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(queryset=Member.objects.none(), **kwargs)
        self.shared: frozenset[str] = frozenset()

    def label_from_instance(self, obj: Member) -> str:
        """The name, with the code where it is not the only one."""
        return f"{obj.name} ({obj.code})" if obj.name in self.shared else obj.name


class WishForm(forms.Form):
    """One wish about one other person."""

    kind = forms.ChoiceField(label=_("What you ask"), choices=Wish.Kind.choices, widget=forms.RadioSelect)
    other = WishChoiceField(label=_("Person"), empty_label=_("Choose a person"))

    def __init__(self, *args: Any, member: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.member = member
        people = queries.may_be_wished_by(member)
        names = Counter(people.values_list("name", flat=True))
        field = self.fields["other"]
        field.queryset = people  # type: ignore[attr-defined]  # of the field's own class
        field.shared = frozenset(name for name, people in names.items() if people > 1)  # type: ignore[attr-defined]  # as above

    def clean(self) -> dict[str, Any] | None:
        """A wish about oneself is no choice of the list; say so in words."""
        cleaned = super().clean()
        if self.data.get(self.add_prefix("other")) == str(self.member.pk):
            del self.errors["other"]
            self.add_error("other", str(WishOfOneself()))
        return cleaned


class EmergencyForm(forms.Form):
    """Whom to call, and what a first-aider should know."""

    emergency_name = forms.CharField(
        label=_("Emergency contact: name"),
        required=False,
        max_length=_NAME_LENGTH,
        help_text=_("Whom the crew lead calls if something happens to you."),
    )
    emergency_phone = forms.CharField(
        label=_("Emergency contact: phone"),
        required=False,
        max_length=length_of(Profile, "phone"),
        validators=[phone_shape],
        help_text=_("A number that is answered during the day."),
        widget=forms.TextInput(attrs={"type": "tel"}),
    )
    health_note = forms.CharField(
        label=_("Health note"),
        required=False,
        max_length=1000,
        help_text=_(
            "Only what a first-aider must know on the day, such as an allergy to stings. Leave it empty otherwise."
        ),
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean(self) -> dict[str, Any] | None:
        """A name without a number, or a number without a name, helps nobody in an emergency."""
        cleaned = super().clean()
        name, phone = self.cleaned_data.get("emergency_name"), self.cleaned_data.get("emergency_phone")
        if name and phone == "":
            self.add_error("emergency_phone", _("Give the phone number of this person too."))
        if phone and name == "":
            self.add_error("emergency_name", _("Give the name of the person who answers this number."))
        return cleaned


class EraseForm(forms.Form):
    """That somebody means it."""

    sure = forms.BooleanField(
        label=_("Erase me, and give up my account"),
        help_text=_("It cannot be taken back. Download your data first if you want to keep it."),
        error_messages={"required": _("Tick this to be erased, or go back.")},
    )


class LeaveForm(forms.Form):
    """Leaving a group, and whether it forgets the person."""

    erase = forms.BooleanField(
        label=_("Also erase the name and all that the group knows"),
        required=False,
        help_text=_("Hours and stems stay under a code. It cannot be taken back."),
    )


class LookForm(forms.Form):
    """Why somebody opens another person's emergency contact and health note."""

    why = forms.CharField(
        label=_("Why you look"),
        max_length=length_of(PrivateLook, "why"),
        help_text=_("The person can read it, with your name and the time."),
    )
