"""The profile form. It asks what it needs, says why, and asks for measures only of people who want to work in water."""

import datetime
import math
from decimal import Decimal
from typing import Any

from django import forms
from django.core.validators import RegexValidator
from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.people.languages import COMMON_LANGUAGES, LANGUAGE_CODES, language_choices
from reedcrew.people.models import Member, Profile
from reedcrew.people.services import Measures, ProfileAnswers
from reedcrew.people.water import QUESTIONS
from reedcrew.people.words import OWN_GEAR, TOO_LIGHT, jacket_bands
from reedcrew.trade import sizes
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.sizes import ShoeScale
from reedcrew.trade.water import STATURE_CM_MAX, STATURE_CM_MIN
from reedcrew.web.amounts import are_with_customary
from reedcrew.web.forms import CountField, DayField, Fieldset, NumberField
from reedcrew.web.lengths import length_of

HAND_MM, GLOVE = "mm", "glove"
_SHOE_SCALES = {
    ShoeScale.EU: _("EU"),
    ShoeScale.UK: _("UK"),
    ShoeScale.US_MEN: _("US men’s"),
    ShoeScale.US_WOMEN: _("US women’s"),
}
_GLOVE_MIN, _GLOVE_MAX = sizes.GLOVES[0][0], sizes.GLOVES[-1][0]
phone_shape = RegexValidator(
    r"^\+?[\d\s().\-/]{5,}$", _("Write the number with digits, such as +1 613 555 0142; spaces and dashes are fine.")
)


class ProfileForm(forms.Form):
    """One person's profile, for themselves, their guardian, or an organizer who enters it for them."""

    name = forms.CharField(
        label=_("Name"),
        max_length=length_of(Member, "name"),
        help_text=_("Stands on rosters. Partners are told the first word of it."),
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    adult = forms.BooleanField(
        label=_("18 or older"),
        required=False,
        help_text=_("People under 18 take part with a guardian, and stay out of deep water."),
    )
    born_on = DayField(
        label=_("Date of birth"),
        help_text=_("Asked of people under 18 only: it decides on which day they count as adults."),
    )
    phone = forms.CharField(
        label=_("Phone"),
        required=False,
        max_length=length_of(Profile, "phone"),
        validators=[phone_shape],
        help_text=_(
            "So that the crew lead can reach you on the day. If you run days yourself, everyone with a place on one "
            "reads it from the day before until it ends."
        ),
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "tel"}),
    )
    languages = forms.MultipleChoiceField(
        label=QUESTIONS["languages"].label,
        required=False,
        help_text=QUESTIONS["languages"].why,
        widget=forms.CheckboxSelectMultiple,
    )
    other_language = forms.ChoiceField(
        label=_("Another language"),
        required=False,
        help_text=_("One that is not in the list above. For more than one, save and come back."),
    )
    first_aid_until = DayField(
        label=_("First-aid certificate valid until"),
        required=False,
        help_text=_("Water work needs a first-aider on the day. Leave it empty without a certificate."),
    )
    own_gear = forms.MultipleChoiceField(
        label=_("Gear that you bring yourself"),
        required=False,
        choices=[(item.value, label) for item, label in OWN_GEAR.items()],
        help_text=_("What you bring is not set aside for you from the group's stock."),
        widget=forms.CheckboxSelectMultiple,
    )
    water_ready = forms.BooleanField(
        label=QUESTIONS["water_ready"].label, required=False, help_text=QUESTIONS["water_ready"].why
    )
    stature_cm = CountField(
        label=QUESTIONS["stature_cm"].label,
        unit="cm",
        required=False,
        min_value=STATURE_CM_MIN,
        max_value=STATURE_CM_MAX,
        help_text=QUESTIONS["stature_cm"].why,
    )
    body_mass = forms.ChoiceField(
        label=QUESTIONS["body_mass"].label, required=False, help_text=QUESTIONS["body_mass"].why
    )
    boot_size = NumberField(
        label=QUESTIONS["boot_size"].label, required=False, decimal_places=1, help_text=QUESTIONS["boot_size"].why
    )
    boot_scale = forms.ChoiceField(
        label=_("Boot size is in"),
        required=False,
        choices=[(scale.value, label) for scale, label in _SHOE_SCALES.items()],
        help_text=_("Sizes are kept as EU half sizes, rounded up, because boots that are too small hurt."),
    )
    hand_size = NumberField(
        label=QUESTIONS["hand_size"].label, required=False, decimal_places=0, help_text=QUESTIONS["hand_size"].why
    )
    hand_scale = forms.ChoiceField(
        label=_("Hand is given as"),
        required=False,
        choices=[(HAND_MM, _("mm around the palm, without the thumb")), (GLOVE, _("glove size"))],
    )
    water_asked = forms.BooleanField(required=False, initial=True, widget=forms.HiddenInput)

    fieldsets = (
        Fieldset(legend=_("Who you are"), fields=("name", "adult", "born_on", "phone")),
        Fieldset(legend=_("What you bring"), fields=("languages", "other_language", "first_aid_until", "own_gear")),
        Fieldset(
            legend=_("Water"),
            fields=("water_ready", "stature_cm", "body_mass", "boot_size", "boot_scale", "hand_size", "hand_scale"),
            why=_("Nobody has to work in water; there is work on shore on every day."),
        ),
    )
    WATER_FIELDS = (
        *("stature_cm", "body_mass", "boot_size", "boot_scale", "hand_size", "hand_scale"),
        "water_asked",
    )

    def __init__(self, *args: Any, member: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.profile: Profile = member.profile
        self.initial = {**_initial(member), **self.initial}
        asked_by_date = self.profile.born_on is not None or member.guardian_id is not None
        del self.fields["adult" if asked_by_date else "born_on"]
        self._offer_languages()
        # Without a script the questions come with the page after the one where the box was ticked.
        asked = self.data.get(self.add_prefix("water_asked")) if self.is_bound else self.profile.water_ready
        self.asks_for_measures = bool(asked)
        if self.asks_for_measures:
            self.fields["body_mass"].choices = [("", _("Not told")), *jacket_bands()]  # type: ignore[attr-defined]  # ChoiceField
            if are_with_customary():
                self.fields["stature_cm"].help_text = f"{QUESTIONS['stature_cm'].why} {_stature_hint()}"
        else:
            for name in self.WATER_FIELDS:
                del self.fields[name]

    def _offer_languages(self) -> None:
        offered = frozenset(COMMON_LANGUAGES) | (set(self.profile.languages) & LANGUAGE_CODES)
        self.fields["languages"].choices = language_choices(offered)  # type: ignore[attr-defined]  # ChoiceField
        rest = language_choices(LANGUAGE_CODES - frozenset(COMMON_LANGUAGES))
        self.fields["other_language"].choices = [("", "—"), *rest]  # type: ignore[attr-defined]  # ChoiceField

    def clean(self) -> dict[str, Any] | None:
        """Turn the sizes into what is stored, or say at their field what would be right."""
        cleaned = super().clean()
        if self.asks_for_measures:
            self.cleaned_data["boot_eu"] = self._boot_eu()
            self.cleaned_data["hand_mm"] = self._hand_mm()
        return cleaned

    def _boot_eu(self) -> Decimal | None:
        size = self.cleaned_data.get("boot_size")
        if size is None:
            return None
        scale = ShoeScale(self.cleaned_data.get("boot_scale") or ShoeScale.EU)
        try:
            return sizes.boot_eu(scale, size)
        except UnusableInput:
            low, high = (
                sizes.size_on(scale, sizes.foot_mm(ShoeScale.EU, Decimal(bound)))
                for bound in (sizes.BOOT_EU_MIN, sizes.BOOT_EU_MAX)
            )
            self.add_error(
                "boot_size",
                gettext("Write a size from %(low)d to %(high)d (%(scale)s), or choose another scale.")
                % {"low": math.ceil(low), "high": math.floor(high), "scale": _SHOE_SCALES[scale]},
            )
            return None

    def _hand_mm(self) -> int | None:
        size = self.cleaned_data.get("hand_size")
        if size is None:
            return None
        if self.cleaned_data.get("hand_scale") == GLOVE:
            if _GLOVE_MIN <= size <= _GLOVE_MAX:
                return sizes.hand_mm(int(size))
            message = gettext("Write a whole glove size from %(low)d to %(high)d, or choose millimetres.")
            bounds = {"low": _GLOVE_MIN, "high": _GLOVE_MAX}
        else:
            if sizes.HAND_MM_MIN <= size <= sizes.HAND_MM_MAX:
                return int(size)
            message = gettext("Write %(low)d to %(high)d mm around the palm, or choose the glove size.")
            bounds = {"low": sizes.HAND_MM_MIN, "high": sizes.HAND_MM_MAX}
        self.add_error("hand_size", message % bounds)
        return None

    def answers(self) -> ProfileAnswers:
        """The valid form as the service takes it."""
        data = self.cleaned_data
        born_on: datetime.date | None = data.get("born_on")
        return ProfileAnswers(
            name=data["name"],
            adult=data.get("adult", False),
            born_on=born_on,
            languages=frozenset(filter(None, [*data["languages"], data["other_language"]])),
            phone=data["phone"],
            first_aid_until=data["first_aid_until"],
            own_gear=frozenset(Item(value) for value in data["own_gear"]),
            water_ready=data["water_ready"],
            measures=self._measures() if self.asks_for_measures else None,
        )

    def _measures(self) -> Measures:
        mass = self.cleaned_data["body_mass"]
        return Measures(
            stature_cm=self.cleaned_data["stature_cm"],
            jacket_class=JacketClass(mass) if mass and mass != TOO_LIGHT else None,
            too_light=mass == TOO_LIGHT,
            boot_eu=self.cleaned_data["boot_eu"],
            hand_mm=self.cleaned_data["hand_mm"],
        )


def _stature_hint() -> str:
    """How to tell a height in centimetres for who knows it in feet and inches."""
    known = {"five_feet": number_format(Decimal("152.4")), "inch": number_format(Decimal("2.54"))}
    return gettext("5 ft is %(five_feet)s cm, and each inch more is %(inch)s cm.") % known


def _initial(member: Member) -> dict[str, Any]:
    profile = member.profile
    return {
        "name": member.name,
        "adult": profile.adult,
        "born_on": profile.born_on,
        "phone": profile.phone,
        "languages": profile.languages,
        "first_aid_until": profile.first_aid_until,
        "own_gear": profile.own_gear,
        "water_ready": profile.water_ready,
        "stature_cm": profile.stature_cm,
        "body_mass": profile.jacket_class,
        "boot_size": profile.boot_eu,
        "boot_scale": ShoeScale.EU.value,
        "hand_size": profile.hand_mm,
        "hand_scale": HAND_MM,
    }
