"""Forms of work days and sign-ups: they check shape and leave meaning to the services."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.functional import SimpleLazyObject, lazy
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Member
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Stand, Zone
from reedcrew.stands.queries import window_of
from reedcrew.trade import weather
from reedcrew.web.fieldsets import Fieldset
from reedcrew.web.forms import (
    AddressField,
    CountField,
    NumberField,
    RowsField,
    SiteTimeField,
    StaleCheckMixin,
    SubmissionMixin,
)
from reedcrew.web.lengths import length_of
from reedcrew.web.times import day_of_year_text
from reedcrew.workdays import queries
from reedcrew.workdays.forecast import Forecast
from reedcrew.workdays.models import MOST_PLACES, SignUp, WorkDay
from reedcrew.workdays.services import DayFacts


def _reading(field: forms.Field, low: int, high: int, unit: str) -> forms.Field:
    """A reading of a forecast; what it refuses names the field and the range."""
    shown = "%%" if unit == "%" else unit  # the validator fills the limit in by a percent sign
    sentence = format_lazy(
        _("{label}: write a number from {low} to {high} {unit}."), label=field.label, low=low, high=high, unit=shown
    )
    for validator in field.validators:
        if isinstance(validator, MinValueValidator | MaxValueValidator):
            validator.message = sentence
    return field


class ForecastFields(forms.Form):
    """What any forecast tells of a day; all of it may be unknown."""

    forecast_temp_c = _reading(
        NumberField(
            label=_("Air temperature"),
            unit="°C",
            min_value=weather.TEMP_C_MIN,
            max_value=weather.TEMP_C_MAX,
            required=False,
            decimal_places=1,
        ),
        weather.TEMP_C_MIN,
        weather.TEMP_C_MAX,
        "°C",
    )
    forecast_rh_percent = _reading(
        CountField(label=_("Relative humidity"), unit="%", min_value=0, max_value=100, required=False), 0, 100, "%"
    )
    forecast_wind_km_h = _reading(
        NumberField(
            label=_("Wind"), unit="km/h", min_value=0, max_value=weather.WIND_KM_H_MAX, required=False, decimal_places=1
        ),
        0,
        weather.WIND_KM_H_MAX,
        "km/h",
    )
    forecast_water_temp_c = _reading(
        NumberField(
            label=_("Water temperature"),
            unit="°C",
            min_value=weather.WATER_TEMP_C_MIN,
            max_value=weather.WATER_TEMP_C_MAX,
            required=False,
            decimal_places=1,
        ),
        weather.WATER_TEMP_C_MIN,
        weather.WATER_TEMP_C_MAX,
        "°C",
    )

    @property
    def forecast(self) -> Forecast:
        """The cleaned forecast as the services take it."""
        return Forecast(**{name: self.cleaned_data[name] for name in ForecastFields.base_fields})


class ForecastForm(StaleCheckMixin, ForecastFields):
    """The forecast alone, which changes more often than the day."""


class DayForm(ForecastFields):
    """What an organizer says of a day on one stand."""

    title = forms.CharField(
        label=_("Title"),
        max_length=length_of(WorkDay, "title"),
        help_text=_("What people see first, such as “Morning at the reed”."),
    )
    starts_at = SiteTimeField(label=_("Start"))
    ends_at = SiteTimeField(label=_("End"))
    zones = RowsField(
        label=_("Zones"),
        queryset=Zone.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Where people will work."),
    )
    water_places = CountField(
        label=_("Places in water"),
        min_value=0,
        max_value=MOST_PLACES,
        help_text=_("For people who wade. Pairs, spotters and gear may let fewer enter: the plan says so."),
    )
    land_places = CountField(
        label=_("Places on land"),
        min_value=0,
        max_value=MOST_PLACES,
        help_text=_("Spade crew, haulers, sign-in desk, spotters."),
    )
    note = forms.CharField(label=_("What to know"), required=False, widget=forms.Textarea(attrs={"rows": 4}))
    what_to_bring = forms.CharField(
        label=_("What to bring"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Drinking water, lunch, sun and rain wear, closed shoes."),
    )
    window_reason = forms.CharField(
        label=_("Reason for working outside the permitted weeks"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    window_permit = forms.CharField(
        label=_("Permit that allows it"),
        required=False,
        max_length=length_of(WorkDay, "window_permit"),
        help_text=_("Needed only where an authority closes the day: who gave the permit, and its number."),
    )
    fieldsets = (
        Fieldset(legend=_("The day"), fields=("title", "starts_at", "ends_at", "window_reason", "window_permit")),
        Fieldset(legend=_("The work"), fields=("zones", "water_places", "land_places")),
        Fieldset(legend=_("What people are told"), fields=("note", "what_to_bring")),
        Fieldset(
            legend=_("Forecast"),
            fields=tuple(ForecastFields.base_fields),
            why=_("From any forecast, as soon as you have one: drinking water and cautions follow from it."),
        ),
    )

    def __init__(self, *args: Any, stand: Stand, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zones"].queryset = stand.zones.all()  # type: ignore[attr-defined]  # of the field's own class
        for name in ("starts_at", "ends_at"):
            self.fields[name].zone = stand.site.zone_info  # type: ignore[attr-defined]  # SiteTimeField
        window = window_of(stand.site, policy_of(stand.site.group))
        weeks = {"opens": day_of_year_text(*window.opens), "closes": day_of_year_text(*window.closes)}
        self.fields["window_reason"].help_text = (
            _("Needed only outside %(opens)s to %(closes)s, the permitted weeks. Everyone sees it, with a warning.")
            % weeks
        )

    def facts(self) -> DayFacts:
        """The cleaned data as the services take it."""
        data = {name: self.cleaned_data[name] for name in DayForm.base_fields}
        return DayFacts(**{**data, "zones": list(data["zones"])})


class PostDayForm(SubmissionMixin, DayForm):
    """A new day; sent twice it makes one."""


class EditDayForm(StaleCheckMixin, DayForm):
    """A posted day, opened with its present values."""


def values_of(day: WorkDay) -> dict[str, Any]:
    """A day as the initial values of its form."""
    values = {name: getattr(day, name) for name in DayForm.base_fields if name != "zones"}
    return {**values, "zones": list(day.zones.all())}


class CancelDayForm(forms.Form):
    reason = forms.CharField(
        label=_("Why is the day cancelled?"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Everybody who signed up gets a cancellation in their calendar with this reason."),
    )


def _place_choices(day: WorkDay) -> list[tuple[str, str]]:
    """The kinds of place that a day has; of a full one it is said that it leads to the waiting list.

    Whether one is full is asked when the choices are shown, not when one of them is chosen.
    """
    free = SimpleLazyObject(lambda: {kind.place: kind.free for kind in queries.places_of(day)})
    full = _("%(place)s – full now: you go on the waiting list")

    def label(place: SignUp.Place) -> str:
        return str(place.label) if free[place] else full % {"place": place.label}

    said: Callable[[SignUp.Place], str] = lazy(label, str)
    return [(place.value, said(place)) for place in SignUp.Place if day.places(place)]


class SignUpForm(forms.Form):
    """One question a person: not this time, in water, or on land."""

    def __init__(self, *args: Any, day: WorkDay, members: list[Member], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.members = members
        places = _place_choices(day)
        for number, member in enumerate(members):
            self.fields[f"place_{member.pk}"] = forms.ChoiceField(
                label=member.name,
                choices=[("", _("not this time")), *places],
                required=number == 0 and len(members) == 1,
                widget=forms.RadioSelect,
                error_messages={"required": _("Choose where %(name)s would like to work.") % {"name": member.name}},
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not any(cleaned.values()):
            raise forms.ValidationError(_("Choose a place for at least one person."), code="nobody")
        return cleaned

    def chosen(self) -> list[tuple[Member, str]]:
        """Members with the place chosen for them, adults first: a guardian comes before the children."""
        named = [(member, self.cleaned_data[f"place_{member.pk}"]) for member in self.members]
        return sorted(
            ((member, place) for member, place in named if place),
            key=lambda pair: (pair[0].guardian_id is not None, pair[0].pk),
        )


class FirstSignUpForm(forms.Form):
    """The fewest questions to somebody the group does not know yet; the rest is asked in the profile."""

    name = forms.CharField(
        label=_("Your name"),
        max_length=length_of(Member, "name"),
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    age = forms.ChoiceField(
        label=_("Your age"),
        choices=[("adult", _("18 or older")), ("minor", _("under 18"))],
        widget=forms.RadioSelect,
        help_text=_("People under 18 come with their guardian."),
    )
    place = forms.ChoiceField(label=_("Where would you like to work?"), choices=(), widget=forms.RadioSelect)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.day = day
        choices = _place_choices(day)
        if len(choices) == 1:  # nothing to ask
            self.fields["place"].widget = forms.HiddenInput()
            self.initial["place"] = choices[0][0]
        self.fields["place"].choices = choices  # type: ignore[attr-defined]  # ChoiceField

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("age") == "minor":
            self.add_error(
                "age",
                _(
                    "People under 18 are signed up by their guardian: ask your guardian to sign in with their own "
                    "address, to add you as a child on their profile, and to sign you both up."
                ),
            )
        return cleaned


class StrangerSignUpForm(FirstSignUpForm):
    """The same to somebody who is not signed in: the address, too, which a mailed code then proves."""

    email = AddressField(
        label=_("Email address"), help_text=_("We mail you a code, and your invitation. There is no password.")
    )

    field_order = ("name", "email", "age", "place")
