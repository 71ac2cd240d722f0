"""What one check finds: computed from what was seen, never typed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from reedcrew.trade.identification.characters import CHARACTERS, Character, Side, Weight
from reedcrew.trade.identification.observation import (
    Flowering,
    Internodes,
    Leaves,
    LiguleMeasured,
    Observation,
    SeedHead,
    Sheaths,
    Spots,
    StandForm,
    Surface,
    ask_usable,
)
from reedcrew.trade.identification.status import Identification
from reedcrew.trade.reasons import Reason, Value, reason

COMPLETE_FOR_INTRODUCED = 2  # so many characters that separate completely (convention of this project)

# Limits of the ligule (convention until the cut-off of McTavish and others 2023 is seen; published ranges contradict
# each other because some count the hairs): base only, and with the hairs as floras measure it.
LIGULE_BASE_INTRODUCED_MM, LIGULE_BASE_NATIVE_MM = Decimal("0.3"), Decimal("0.6")
LIGULE_FLORAS_INTRODUCED_MM, LIGULE_FLORAS_NATIVE_MM = Decimal("0.9"), Decimal("1.0")
# Where the published ranges of glumes and lemma do not overlap (Saltonstall, Peterson and Soreng 2004; floras).
LOWER_GLUME_INTRODUCED_MM, LOWER_GLUME_NATIVE_MM = Decimal("3.0"), Decimal("5.0")
UPPER_GLUME_INTRODUCED_MM, UPPER_GLUME_NATIVE_MM = Decimal("5.5"), Decimal("7.5")
LEMMA_NATIVE_MM = Decimal(12)
# Where the published heights do not overlap (Great Lakes fact sheet; a Minnesota flora).
HEIGHT_INTRODUCED_CM, HEIGHT_NATIVE_CM = Decimal(210), Decimal(150)

# Which reed an answer points to; an answer that is not here says nothing.
_POINTS: Mapping[Character, Mapping[str, Side]] = MappingProxyType(
    {
        Character.SHEATHS: {Sheaths.RETAINED: Side.INTRODUCED, Sheaths.FALL_OFF: Side.NATIVE},
        Character.INTERNODES: {Internodes.TAN: Side.INTRODUCED, Internodes.RED: Side.NATIVE},
        Character.SPOTS: {Spots.SEEN: Side.NATIVE},
        Character.SURFACE: {Surface.ROUGH: Side.INTRODUCED, Surface.SMOOTH: Side.NATIVE},
        Character.LEAVES: {Leaves.BLUE_GREEN: Side.INTRODUCED, Leaves.YELLOW_GREEN: Side.NATIVE},
        Character.SEED_HEAD: {SeedHead.BUSHY: Side.INTRODUCED, SeedHead.SPARSE: Side.NATIVE},
        Character.FLOWERING: {Flowering.SEPTEMBER: Side.INTRODUCED, Flowering.BY_JULY: Side.NATIVE},
        Character.STAND_FORM: {StandForm.DENSE: Side.INTRODUCED, StandForm.MIXED: Side.NATIVE},
    }
)
_NOT_LOOKED = "not_looked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What one character shows: which reed it points to (None: neither), how decisive it is there, in words."""

    character: Character
    side: Side | None
    weight: Weight
    reason: Reason

    @property
    def decides(self) -> bool:
        """Whether it points somewhere and can take a result away."""
        return self.side is not None and self.weight.decides


class Source(StrEnum):
    """Who was asked beside the characters."""

    GENETIC_TEST = "genetic test"
    QUALIFIED_PERSON = "qualified person"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """What a genetic test (``name``: test and laboratory) or a qualified person (``name``: who) said of the stand."""

    source: Source
    name: str
    result: Identification


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a check found, why, and what every character that was looked at shows."""

    result: Identification
    reasons: tuple[Reason, ...]
    evidence: tuple[Evidence, ...]

    @property
    def native_sign(self) -> bool:
        """Whether a character that decides points to the native reed, even where another contradicts it."""
        return any(each.decides and each.side is Side.NATIVE for each in self.evidence)


def identify(observation: Observation, opinion: Opinion | None = None) -> Finding:
    """Which reed it is by what was seen (result rule: convention on the characters of McTavish and others 2023).

    INTRODUCED needs two characters that separated the two completely, and none that decides against it (spots are one
    such). NATIVE needs one that separated completely, or spots, and none that decides against it. Everything else, and
    every contradiction, is NOT_SURE. Tendencies change no result. A genetic test with an answer outweighs the
    characters; a qualified person who contradicts them makes the result NOT_SURE.

    Raises UnusableInput naming each measure that no reed can have.
    """
    ask_usable(observation)
    evidence = tuple(_evidence(observation))
    result, reasons = _by_characters(observation, evidence)
    if opinion is not None:
        result, said = _with_opinion(result, opinion)
        reasons = (*said, *reasons)
    if result is Identification.NOT_SURE:
        reasons = (*reasons, reason("identification.ask"))
    return Finding(result=result, reasons=reasons, evidence=evidence)


# --- Private ---------------------------------------------------------------------------------------------------------


def _by_characters(
    observation: Observation, evidence: tuple[Evidence, ...]
) -> tuple[Identification, tuple[Reason, ...]]:
    introduced = [each for each in evidence if each.decides and each.side is Side.INTRODUCED]
    native = [each for each in evidence if each.decides and each.side is Side.NATIVE]
    complete_introduced, complete_native = _complete(introduced), _complete(native)
    if introduced and native:
        contradiction = reason("identification.contradiction", introduced=len(introduced), native=len(native))
        return Identification.NOT_SURE, (contradiction,)
    if complete_native:
        found = reason("identification.native", count=complete_native)
        return Identification.NATIVE, (found, *_tendencies_against(evidence, Side.INTRODUCED))
    if complete_introduced >= COMPLETE_FOR_INTRODUCED and not native:
        reasons = [reason("identification.introduced", count=complete_introduced)]
        if observation.spots is Spots.NOT_LOOKED:
            reasons.append(reason("identification.look_for_spots"))
        return Identification.INTRODUCED, (*reasons, *_tendencies_against(evidence, Side.NATIVE))
    if complete_introduced:
        return Identification.NOT_SURE, (reason("identification.one_only"),)
    seen = any(each.side is not None for each in evidence)
    code = "identification.tendencies_only" if seen else "identification.nothing_seen"
    return Identification.NOT_SURE, (reason(code),)


def _complete(evidence: list[Evidence]) -> int:
    return sum(each.weight is Weight.COMPLETE for each in evidence)


def _tendencies_against(evidence: tuple[Evidence, ...], side: Side) -> tuple[Reason, ...]:
    count = sum(each.side is side and not each.weight.decides for each in evidence)
    return (reason("identification.tendencies_against", count=count),) if count else ()


def _with_opinion(found: Identification, opinion: Opinion) -> tuple[Identification, tuple[Reason, ...]]:
    unsure = opinion.result not in {Identification.INTRODUCED, Identification.NATIVE}
    if opinion.source is Source.GENETIC_TEST:
        if unsure:
            return found, (reason("identification.genetic_unsure", name=opinion.name),)
        said = reason("identification.genetic", name=opinion.name, result=opinion.result.value)
        return opinion.result, (said,)
    if found is not Identification.NOT_SURE and found is not opinion.result:
        disagrees = reason(
            "identification.person_disagrees", name=opinion.name, result=opinion.result.value, found=found.value
        )
        return Identification.NOT_SURE, (disagrees,)
    return found, (reason("identification.person", name=opinion.name, result=opinion.result.value),)


def _evidence(observation: Observation) -> Iterator[Evidence]:
    """What each character shows that was looked at, in the order of the table."""
    for character in CHARACTERS:
        if character is Character.LIGULE:
            shown = _ligule(observation)
        elif character in _LIMITS:
            shown = _measured(character, observation)
        else:
            shown = _answered(character, observation)
        if shown is not None:
            yield shown


def _answered(character: Character, observation: Observation) -> Evidence | None:
    answer: StrEnum = getattr(observation, character.value)
    if answer.value == _NOT_LOOKED:
        return None
    return Evidence(
        character=character,
        side=_POINTS[character].get(answer),
        weight=CHARACTERS[character].weight,
        reason=reason(f"identification.{character}.{answer}"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limits:
    """A measure under ``low`` points one way and over ``high`` the other way. None: it never does."""

    field: str
    low: Decimal | None
    high: Decimal
    small: Side
    large: Side


_LIMITS: Mapping[Character, _Limits] = MappingProxyType(
    {
        Character.LOWER_GLUME: _Limits(
            field="lower_glume_mm",
            low=LOWER_GLUME_INTRODUCED_MM,
            high=LOWER_GLUME_NATIVE_MM,
            small=Side.INTRODUCED,
            large=Side.NATIVE,
        ),
        Character.UPPER_GLUME: _Limits(
            field="upper_glume_mm",
            low=UPPER_GLUME_INTRODUCED_MM,
            high=UPPER_GLUME_NATIVE_MM,
            small=Side.INTRODUCED,
            large=Side.NATIVE,
        ),
        Character.LEMMA: _Limits(
            field="lemma_mm", low=None, high=LEMMA_NATIVE_MM, small=Side.INTRODUCED, large=Side.NATIVE
        ),
        Character.HEIGHT: _Limits(
            field="height_cm",
            low=HEIGHT_NATIVE_CM,
            high=HEIGHT_INTRODUCED_CM,
            small=Side.NATIVE,
            large=Side.INTRODUCED,
        ),
    }
)


def _measured(character: Character, observation: Observation) -> Evidence | None:
    limits = _LIMITS[character]
    measured = getattr(observation, limits.field)
    if measured is None:
        return None
    value = _exact(measured)
    shown: dict[str, Value] = {limits.field.rpartition("_")[2]: f"{value:f}"}
    side: Side | None = None
    if limits.low is not None and value < limits.low:
        side, shown["limit"] = limits.small, f"{limits.low:f}"
    elif value > limits.high:
        side, shown["limit"] = limits.large, f"{limits.high:f}"
    return Evidence(
        character=character,
        side=side,
        weight=CHARACTERS[character].weight,
        reason=reason(f"identification.{character}.{side or 'between'}", **shown),
    )


def _ligule(observation: Observation) -> Evidence | None:
    if observation.ligule_mm is None:
        return None
    value = _exact(observation.ligule_mm)
    shown = f"{value:f}"
    if observation.ligule_measured is LiguleMeasured.NOT_STATED:
        said = reason("identification.ligule.not_stated", mm=shown)
        return Evidence(character=Character.LIGULE, side=None, weight=Weight.WEAK, reason=said)
    if observation.ligule_measured is LiguleMeasured.BASE_ONLY:
        way, weight = "base", Weight.COMPLETE
        is_small, is_large = value <= LIGULE_BASE_INTRODUCED_MM, value >= LIGULE_BASE_NATIVE_MM
        small, large = LIGULE_BASE_INTRODUCED_MM, LIGULE_BASE_NATIVE_MM
    else:
        way, weight = "floras", Weight.STRONG
        is_small, is_large = value < LIGULE_FLORAS_INTRODUCED_MM, value >= LIGULE_FLORAS_NATIVE_MM
        small, large = LIGULE_FLORAS_INTRODUCED_MM, LIGULE_FLORAS_NATIVE_MM
    side = Side.INTRODUCED if is_small else Side.NATIVE if is_large else None
    limit: dict[str, Value] = {} if side is None else {"limit": f"{small if is_small else large:f}"}
    said = reason(f"identification.ligule.{way}_{side or 'between'}", mm=shown, **limit)
    return Evidence(character=Character.LIGULE, side=side, weight=weight, reason=said)


def _exact(value: Decimal | float) -> Decimal:
    """The decimal that was written: a measure of 0.6 is 0.6, also where it came as a binary fraction."""
    return Decimal(str(value))
