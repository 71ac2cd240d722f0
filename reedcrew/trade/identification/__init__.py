"""Which subspecies a stand is, and whether it may be worked: characters, findings of checks, decisions."""

from reedcrew.trade.identification.characters import CHARACTERS, Character, CharacterFacts, Measure, Side, Weight
from reedcrew.trade.identification.decision import (
    Authority,
    Checked,
    Decided,
    DecisionVerdict,
    Standing,
    judge_decision,
    standing,
)
from reedcrew.trade.identification.finding import Evidence, Finding, Opinion, Source, identify
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
    read_record,
    to_record,
)
from reedcrew.trade.identification.status import Identification

__all__ = [
    "CHARACTERS",
    "Authority",
    "Character",
    "CharacterFacts",
    "Checked",
    "Decided",
    "DecisionVerdict",
    "Evidence",
    "Finding",
    "Flowering",
    "Identification",
    "Internodes",
    "Leaves",
    "LiguleMeasured",
    "Measure",
    "Observation",
    "Opinion",
    "SeedHead",
    "Sheaths",
    "Side",
    "Source",
    "Spots",
    "StandForm",
    "Standing",
    "Surface",
    "Weight",
    "identify",
    "judge_decision",
    "read_record",
    "standing",
    "to_record",
]
