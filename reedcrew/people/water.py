"""The questions that water work asks of a person: their words, once for forms and for lists of what is missing."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from reedcrew.people.models import Profile
from reedcrew.trade.items import Item

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing that is asked: the field of the form, its label, and why it is asked."""

    field: str
    label: "StrOrPromise"
    why: "StrOrPromise"


_ASKED = (
    Question(
        field="water_ready",
        label=_("Willing and able to work in water"),
        why=_("Only people who say so are planned into water. You can take it back at any time, also on the day."),
    ),
    Question(
        field="guardian",
        label=_("Guardian"),
        why=_("A person under 18 is in water only beside their own guardian, and only where it is shallow."),
    ),
    Question(
        field="languages",
        label=_("Languages you speak"),
        why=_("Partners in water share a language, so that a warning is understood at once."),
    ),
    Question(
        field="stature_cm",
        label=pgettext_lazy("of a person", "Height"),
        why=_("It sets the deepest water that you may stand in."),
    ),
    Question(
        field="body_mass",
        label=_("Body mass"),
        why=_("It decides which class of life jacket holds you up. Only the band is kept, no number."),
    ),
    Question(
        field="boot_size",
        label=_("Boot size"),
        why=_("Chest waders that do not fit fill with water or trip you; yours are set aside by this size."),
    ),
    Question(
        field="hand_size",
        label=_("Hand"),
        why=_("Gloves that fit keep a grip on the blade; yours are set aside by this size."),
    ),
)
QUESTIONS: Mapping[str, Question] = MappingProxyType({question.field: question for question in _ASKED})


def missing_for_water(profile: Profile, on: datetime.date) -> tuple[Question, ...]:
    """What is still unknown or unsaid before the person can be planned into water on a day, in the order of the form.

    Empty when nothing is missing. Hard rules H3 to H6 and H11 of the design rest on these answers; without one of
    them a person stays on land. ``profile.member`` should be loaded. Own gloves need no hand size; own waders and life
    jackets still need boot size and body mass, because whether they fit is judged by these.
    """
    unknown = {
        "water_ready": not profile.water_ready,
        "guardian": not profile.adult_on(on) and profile.member.guardian_id is None,
        "languages": not profile.languages,
        "stature_cm": profile.stature_cm is None,
        "body_mass": not profile.jacket_class,
        "boot_size": profile.boot_eu is None,
        "hand_size": profile.hand_mm is None and not profile.owns(Item.GLOVES),
    }
    return tuple(question for field, question in QUESTIONS.items() if unknown[field])
