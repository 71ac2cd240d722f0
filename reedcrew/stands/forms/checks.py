"""Forms of checks of a stand's subspecies: what was seen, never what it is."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import IdentificationCheck, Stand
from reedcrew.stands.words import how_to_look, translated
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.identification import (
    CHARACTERS,
    Character,
    Flowering,
    Identification,
    Internodes,
    Leaves,
    LiguleMeasured,
    Observation,
    Opinion,
    SeedHead,
    Sheaths,
    Source,
    Spots,
    StandForm,
    Surface,
    identify,
)
from reedcrew.web.forms import DayField, Fieldset, NumberField, PhotosField, SubmissionMixin
from reedcrew.web.lengths import length_of

NOTE_LENGTH = 2000  # characters (convention)
NOT_LOOKED = _("Not looked at")
CHOOSE_AGAIN = _(
    "If this page comes back with something to correct, choose the photos again: browsers do not keep them."
)

# Answers that say nothing, beside the two of the table of characters.
_BETWEEN = _("In between, or I can't tell")


def _answers(
    character: Character, introduced: StrEnum, native: StrEnum, nothing: Mapping[StrEnum, Promise]
) -> list[tuple[str, Any]]:
    facts = CHARACTERS[character]
    return [
        (introduced.value, translated(facts.introduced)),
        (native.value, translated(facts.native)),
        *((answer.value, words) for answer, words in nothing.items()),
    ]


ANSWERS: Mapping[Character, list[tuple[str, Any]]] = MappingProxyType(
    {
        Character.SHEATHS: _answers(
            Character.SHEATHS,
            Sheaths.RETAINED,
            Sheaths.FALL_OFF,
            {Sheaths.NO_DEAD_STEMS: _("No dead stems found"), Sheaths.NOT_LOOKED: NOT_LOOKED},
        ),
        Character.INTERNODES: _answers(
            Character.INTERNODES,
            Internodes.TAN,
            Internodes.RED,
            {Internodes.DEAD_ONLY: _("Only dead stems seen"), Internodes.NOT_LOOKED: NOT_LOOKED},
        ),
        Character.SPOTS: [
            (Spots.SEEN.value, _("Seen on at least one stem")),
            (Spots.NONE.value, _("None on several stems")),
            (Spots.NOT_LOOKED.value, NOT_LOOKED),
        ],
        Character.SURFACE: _answers(
            Character.SURFACE,
            Surface.ROUGH,
            Surface.SMOOTH,
            {Surface.BETWEEN: _BETWEEN, Surface.NOT_LOOKED: NOT_LOOKED},
        ),
        Character.LEAVES: _answers(
            Character.LEAVES,
            Leaves.BLUE_GREEN,
            Leaves.YELLOW_GREEN,
            {Leaves.BETWEEN: _BETWEEN, Leaves.NOT_LOOKED: NOT_LOOKED},
        ),
        Character.SEED_HEAD: _answers(
            Character.SEED_HEAD,
            SeedHead.BUSHY,
            SeedHead.SPARSE,
            {
                SeedHead.BETWEEN: _BETWEEN,
                SeedHead.NO_HEADS: _("No seed heads yet"),
                SeedHead.NOT_LOOKED: NOT_LOOKED,
            },
        ),
        Character.FLOWERING: [
            (Flowering.BY_JULY.value, _("In flower by July")),
            (Flowering.AUGUST.value, _("In flower in August")),
            (Flowering.SEPTEMBER.value, _("In flower in September")),
            (Flowering.NOT_LOOKED.value, NOT_LOOKED),
        ],
        Character.STAND_FORM: _answers(
            Character.STAND_FORM,
            StandForm.DENSE,
            StandForm.MIXED,
            {StandForm.BETWEEN: _BETWEEN, StandForm.NOT_LOOKED: NOT_LOOKED},
        ),
    }
)
MEASURED = (
    (LiguleMeasured.BASE_ONLY.value, _("The base only: the hairs are left out")),
    (LiguleMeasured.AS_IN_FLORAS.value, _("With its fringe of hairs, as floras measure it")),
    (LiguleMeasured.NOT_STATED.value, _("I do not know: then it says nothing")),
)


class _AnswerField(forms.TypedChoiceField):
    """One character: how to look, the answers, and “not looked at” until somebody looks."""

    def __init__(self, character: Character, kind: type[StrEnum]) -> None:
        super().__init__(
            label=translated(CHARACTERS[character].title),
            help_text=how_to_look(character),
            choices=ANSWERS[character],
            coerce=kind,
            initial="not_looked",
            widget=forms.RadioSelect,
        )


class _MeasureField(NumberField):
    """One measured character, empty where it was not measured. The form asks the trade what a reed can have."""

    def __init__(self, character: Character) -> None:
        facts = CHARACTERS[character]
        if facts.measure is None:
            raise ValueError(f"{character} is not measured")
        super().__init__(
            label=translated(facts.title),
            unit=facts.measure.unit,
            help_text=how_to_look(character),
            required=False,
            min_value=facts.measure.least,
            max_value=facts.measure.most,
            decimal_places=2,
        )


class CheckForm(SubmissionMixin):
    """What somebody saw of a stand, character by character; ``clean`` gives ``observation`` and ``opinion``.

    ``may_keep``: an organizer, who may also record a genetic test or a qualified person's answer, and keep where
    photos were taken.
    """

    sheaths = _AnswerField(Character.SHEATHS, Sheaths)
    internodes = _AnswerField(Character.INTERNODES, Internodes)
    spots = _AnswerField(Character.SPOTS, Spots)
    ligule_mm = _MeasureField(Character.LIGULE)
    ligule_measured = forms.TypedChoiceField(
        label=_("What was measured of the ligule"),
        help_text=_(
            "The base alone decides, with its hairs it is a strong sign. Published limits contradict each other, "
            "because some count the fringe of hairs and some do not."
        ),
        choices=MEASURED,
        coerce=LiguleMeasured,
        initial=LiguleMeasured.NOT_STATED.value,
        widget=forms.RadioSelect,
    )
    lower_glume_mm = _MeasureField(Character.LOWER_GLUME)
    upper_glume_mm = _MeasureField(Character.UPPER_GLUME)
    lemma_mm = _MeasureField(Character.LEMMA)
    surface = _AnswerField(Character.SURFACE, Surface)
    leaves = _AnswerField(Character.LEAVES, Leaves)
    seed_head = _AnswerField(Character.SEED_HEAD, SeedHead)
    flowering = _AnswerField(Character.FLOWERING, Flowering)
    height_cm = _MeasureField(Character.HEIGHT)
    stand_form = _AnswerField(Character.STAND_FORM, StandForm)
    checked_on = DayField(label=_("Checked on"))
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=NOTE_LENGTH,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Where in the stand you looked, at how many stems, and what else you saw."),
    )
    photos = PhotosField(
        label=_("Photos"),
        required=False,
        help_text=_(
            "Lower stem, sheath, ligule and seed head from close by. JPEG, PNG or WebP. Where and when they were taken "
            "is taken out of them."
        ),
    )
    keep_position = forms.BooleanField(
        label=_("Keep where the photos were taken, beside them, for this group"), required=False
    )
    asked = forms.ChoiceField(
        label=_("Was a test or a qualified person asked?"),
        required=False,
        choices=[("", _("No")), *IdentificationCheck.Asked.choices],
        widget=forms.RadioSelect,
        help_text=_("The answer of a genetic test outweighs the characters. That of a person stands beside them."),
    )
    asked_name = forms.CharField(
        label=_("Name of the test and laboratory, or of the person"),
        required=False,
        max_length=length_of(IdentificationCheck, "asked_name"),
    )
    asked_result = forms.ChoiceField(
        label=_("Their answer"), required=False, choices=[("", _("No answer yet")), *Stand.IDENTIFICATIONS[1:]]
    )

    fieldsets = (
        Fieldset(
            legend=_("Signs that decide"),
            fields=("sheaths", "internodes", "spots"),
            why=_("Look at several stems in different places of the stand. Leave open what you did not look at."),
        ),
        Fieldset(
            legend=_("Under a loupe"),
            fields=("ligule_mm", "ligule_measured", "lower_glume_mm", "upper_glume_mm", "lemma_mm"),
            why=_("Only if you have a loupe and a ruler with half millimetres. A guess is worse than nothing."),
        ),
        Fieldset(
            legend=_("Tendencies"),
            fields=("surface", "leaves", "seed_head", "flowering", "height_cm", "stand_form"),
            why=_("They overlap too much to decide, however many of them agree."),
        ),
        Fieldset(legend=_("The visit"), fields=("checked_on", "note", "photos", "keep_position")),
        Fieldset(legend=_("Who was asked"), fields=("asked", "asked_name", "asked_result")),
    )
    ORGANIZERS_FIELDS = ("keep_position", "asked", "asked_name", "asked_result")
    OBSERVED = tuple(Observation.__dataclass_fields__)

    def __init__(self, *args: Any, may_keep: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["photos"].note = CHOOSE_AGAIN  # type: ignore[attr-defined]  # read by the field's template
        if not may_keep:
            for name in self.ORGANIZERS_FIELDS:
                del self.fields[name]

    def clean(self) -> dict[str, Any]:
        """Put the answers together. A measure that no reed can have is named at its field."""
        cleaned = super().clean() or self.cleaned_data
        opinion = self._opinion(cleaned)
        if all(name in cleaned for name in self.OBSERVED):
            observation = Observation(**{name: cleaned[name] for name in self.OBSERVED})
            try:
                identify(observation, opinion)
            except UnusableInput as error:
                for fault in error.faults:
                    self.add_error(fault.where, fault.message)
            cleaned["observation"] = observation
        cleaned["opinion"] = opinion
        return cleaned

    @property
    def facts(self) -> dict[str, Any]:
        """What the service takes, after validation."""
        names = ("observation", "opinion", "checked_on", "note", "photos", "submission")
        kept = {name: self.cleaned_data[name] for name in names}
        return {**kept, "keep_position": self.cleaned_data.get("keep_position", False)}

    def _opinion(self, cleaned: dict[str, Any]) -> Opinion | None:
        asked, name, answer = (cleaned.get(each, "") for each in ("asked", "asked_name", "asked_result"))
        if not asked:
            if name or answer:
                self.add_error("asked", _("Say whether a test or a person answered."))
            return None
        if not name:
            self.add_error("asked_name", _("Name the test and its laboratory, or the person."))
        if not answer:
            self.add_error("asked_result", _("Give the answer, or choose “No” above until there is one."))
        if not name or not answer:
            return None
        return Opinion(source=Source(asked), name=name, result=Identification(answer))


class PhotosForm(forms.Form):
    """More photos of a check that is recorded."""

    photos = PhotosField(
        label=_("Photos"),
        help_text=_("JPEG, PNG or WebP. Where and when they were taken is taken out of them."),
    )
    keep_position = forms.BooleanField(
        label=_("Keep where the photos were taken, beside them, for this group"), required=False
    )

    def __init__(self, *args: Any, may_keep: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not may_keep:
            del self.fields["keep_position"]
