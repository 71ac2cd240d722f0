"""How reed is cut and what is worn, by depth: rules 4 and 5 of the design (common practice, no source)."""

from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.items import Item
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import DEPTH_CM_MAX
from reedcrew.trade.words import gettext_noop as _

WATER_WORK_DEPTH_CM = 30  # (cp) deeper than this is water work


class Method(StrEnum):
    """How the stems are cut."""

    CUT_AT_BED = _("cut at the bed")
    SPADE_AT_BASE = _("spade at the stem base")


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodChoice:
    """The way to cut in a zone, and why."""

    method: Method
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """What everyone in a zone wears, whether they need a partner, and why."""

    items: tuple[Item, ...]
    in_pairs: bool
    reasons: tuple[Reason, ...]


def _check(depth_cm: float) -> None:
    faults = Faults()
    faults.range("depth_cm", depth_cm, 0, DEPTH_CM_MAX, "cm")
    faults.raise_any()


def is_water_work(depth_cm: float) -> bool:
    """Whether a zone of this depth today is water work: over 30 cm (rule 5). Exactly 30 cm is not.

    Raises UnusableInput for a depth outside 0 to 1000 cm.
    """
    _check(depth_cm)
    return depth_cm > WATER_WORK_DEPTH_CM


def method_for(depth_cm: float) -> MethodChoice:
    """How to cut at this depth today (rule 4, common practice, no source).

    Over 30 cm: near the bed with a hand sickle or a long-handled cane cutter. 30 cm or less, or dry: a sharpened
    spade at about 45° at the base of the stem.

    Raises UnusableInput for a depth outside 0 to 1000 cm.
    """
    if is_water_work(depth_cm):
        method, code = Method.CUT_AT_BED, "method.cut_at_bed"
    else:
        method, code = Method.SPADE_AT_BASE, "method.spade_at_base"
    return MethodChoice(method=method, reason=reason(code, depth_cm=depth_cm, limit_cm=WATER_WORK_DEPTH_CM))


def protective_wear(depth_cm: float) -> Wear:
    """What is worn in a zone of this depth today (rule 5, common practice, no source).

    Over 30 cm: chest waders, life jacket, gloves, eye protection, in pairs. Above 0 up to 30 cm: boots (water shoes
    will do), gloves, eye protection, still in pairs. Dry: gloves and eye protection, because stems are cut at eye
    level of a person who bends.

    Raises UnusableInput for a depth outside 0 to 1000 cm.
    """
    hands_and_eyes = (Item.GLOVES, Item.EYE_PROTECTION)
    if is_water_work(depth_cm):
        return Wear(
            items=(Item.CHEST_WADERS, Item.LIFE_JACKET, *hands_and_eyes),
            in_pairs=True,
            reasons=(reason("wear.water_work", depth_cm=depth_cm, limit_cm=WATER_WORK_DEPTH_CM),),
        )
    if depth_cm > 0:
        return Wear(
            items=(Item.BOOTS, *hands_and_eyes),
            in_pairs=True,
            reasons=(reason("wear.shallow", depth_cm=depth_cm),),
        )
    return Wear(items=hands_and_eyes, in_pairs=False, reasons=(reason("wear.dry"),))
