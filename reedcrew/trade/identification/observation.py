"""What one person saw of a stand: typed answers and measures, and how they are kept as a record."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, get_args

from reedcrew.trade.errors import Faults
from reedcrew.trade.identification.characters import CHARACTERS

SCHEMA = 1  # of the record; a later one reads the earlier


class Sheaths(StrEnum):
    """Leaf sheaths on last year's dead stems."""

    RETAINED = "retained"
    FALL_OFF = "fall_off"
    NO_DEAD_STEMS = "no_dead_stems"
    NOT_LOOKED = "not_looked"


class Internodes(StrEnum):
    """Colour of the lower internodes on live stems. The colour fades on dead ones, which say nothing."""

    TAN = "tan"
    RED = "red"
    DEAD_ONLY = "dead_only"
    NOT_LOOKED = "not_looked"


class Spots(StrEnum):
    """Round black fungal spots on the stem."""

    SEEN = "seen"
    NONE = "none"
    NOT_LOOKED = "not_looked"


class LiguleMeasured(StrEnum):
    """What was measured of the ligule. Published limits contradict each other where this is not said."""

    BASE_ONLY = "base_only"
    AS_IN_FLORAS = "as_in_floras"
    NOT_STATED = "not_stated"


class Surface(StrEnum):
    """Surface of the stem."""

    ROUGH = "rough"
    SMOOTH = "smooth"
    BETWEEN = "between"
    NOT_LOOKED = "not_looked"


class Leaves(StrEnum):
    """Colour of the leaves."""

    BLUE_GREEN = "blue_green"
    YELLOW_GREEN = "yellow_green"
    BETWEEN = "between"
    NOT_LOOKED = "not_looked"


class SeedHead(StrEnum):
    """Look of the seed heads."""

    BUSHY = "bushy"
    SPARSE = "sparse"
    BETWEEN = "between"
    NO_HEADS = "no_heads"
    NOT_LOOKED = "not_looked"


class Flowering(StrEnum):
    """When most of the stand was seen in flower."""

    BY_JULY = "by_july"
    AUGUST = "august"
    SEPTEMBER = "september"
    NOT_LOOKED = "not_looked"


class StandForm(StrEnum):
    """How densely the reed grows, and with what."""

    DENSE = "dense"
    MIXED = "mixed"
    BETWEEN = "between"
    NOT_LOOKED = "not_looked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """What was seen at one visit. Measures are in mm or, height, in cm; None is not measured."""

    sheaths: Sheaths = Sheaths.NOT_LOOKED
    internodes: Internodes = Internodes.NOT_LOOKED
    spots: Spots = Spots.NOT_LOOKED
    ligule_mm: Decimal | None = None
    ligule_measured: LiguleMeasured = LiguleMeasured.NOT_STATED
    lower_glume_mm: Decimal | None = None
    upper_glume_mm: Decimal | None = None
    lemma_mm: Decimal | None = None
    surface: Surface = Surface.NOT_LOOKED
    leaves: Leaves = Leaves.NOT_LOOKED
    seed_head: SeedHead = SeedHead.NOT_LOOKED
    flowering: Flowering = Flowering.NOT_LOOKED
    height_cm: Decimal | None = None
    stand_form: StandForm = StandForm.NOT_LOOKED

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all was looked at."""
        return self == Observation(ligule_measured=self.ligule_measured)


def ask_usable(observation: Observation) -> None:
    """Raise UnusableInput naming every measure that no reed can have, such as a negative one or a ligule of 50 mm."""
    faults = Faults()
    for facts in CHARACTERS.values():
        if facts.measure is None:
            continue
        value = getattr(observation, facts.measure.field)
        if value is not None:
            low, high = float(facts.measure.least), float(facts.measure.most)
            faults.range(facts.measure.field, float(value), low, high, facts.measure.unit)
    faults.raise_any()


def to_record(observation: Observation) -> dict[str, str | int]:
    """What was seen as plain JSON values: answers by name, measures as decimal text; what was not seen is left out."""
    record: dict[str, str | int] = {"schema": SCHEMA}
    for field in fields(Observation):
        value = getattr(observation, field.name)
        if value != field.default:
            record[field.name] = str(value)
    return record


def read_record(record: Mapping[str, Any]) -> Observation:
    """The observation that ``to_record`` wrote. Raises UnusableInput naming every field that it cannot have written."""
    faults = Faults()
    known = {field.name: field for field in fields(Observation)}
    faults.unless(record.get("schema") == SCHEMA, "schema", f"must be {SCHEMA}, not {record.get('schema')!r}")
    values: dict[str, Any] = {}
    for name, written in record.items():
        if name == "schema":
            continue
        if name not in known:
            faults.unless(False, name, "is no field of an observation")
            continue
        read = _read(known[name].type, written)
        faults.unless(read is not None, name, f"cannot be {written!r}")
        values[name] = read
    faults.raise_any()
    observation = Observation(**values)
    ask_usable(observation)
    return observation


def _read(kind: Any, written: Any) -> Any:
    """The value of a field's type, None for one that it cannot be."""
    if Decimal in get_args(kind):
        try:
            value = Decimal(written) if isinstance(written, str) else None
        except InvalidOperation:
            return None
        return value if value is not None and value.is_finite() else None
    try:
        return kind(written)
    except ValueError:
        return None
