"""Reading one position as people copy it: from a map, a phone, a sheet of paper, or a geo: link (RFC 5870)."""

import re
from typing import NoReturn

from reedcrew.trade.errors import Fault, UnusableInput
from reedcrew.trade.outline.shapes import DECIMALS, LATITUDE_MAX, LONGITUDE_MAX, Position
from reedcrew.trade.reasons import Reason, Value, reason

POINT_LENGTH_MAX = 200  # characters; a geo: link with all its parameters has fewer (convention)
_SHOWN_LENGTH = 60  # characters of a faulty value that a sentence repeats

# geo:latitude,longitude with an optional height, and parameters that say nothing of the place (RFC 5870, 3.3).
_GEO = re.compile(
    r"geo:(-?\d{1,3}(?:\.\d{1,20})?),(-?\d{1,3}(?:\.\d{1,20})?)(?:,-?[\d.]{1,20})?(?:[;?].*)?", re.I | re.A
)
_OTHER_GROUND = re.compile(r";crs=(?!wgs84(?:;|\?|$))", re.IGNORECASE | re.ASCII)

_SIGNS = str.maketrans(
    {
        **dict.fromkeys("′’‘´`", "'"),
        **dict.fromkeys("″”“„", '"'),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("−–", "-"),
    }
)
# O is west in French and Spanish (ouest, oeste).
_LETTER = "[NSEWO]"
_WEST, _EAST_OR_WEST = "WO", "EWO"


def _angle(mark: str, before: str, after: str) -> str:
    """Degrees with decimals; or whole degrees with minutes, or with whole minutes and seconds."""
    part = rf"[0-5]?\d(?:{mark}\d{{1,20}})?"
    degrees = (
        rf"(?:(\d{{1,3}})(?:\s*°\s*|\s+)(?:([0-5]?\d)(?:\s*'\s*|\s+)({part})\s*(?:\"|'')?|({part})\s*'?)"
        rf"|(\d{{1,3}}(?:{mark}\d{{1,20}})?)\s*°?)"
    )
    return rf"\s*({before})\s*([+-]?){degrees}\s*({after})\s*"


def _pair(mark: str, between: str, before: str, after: str) -> re.Pattern[str]:
    angle = _angle(mark, before, after)
    return re.compile(f"{angle}(?:{between}|(?<={_LETTER})|(?={_LETTER})){angle}", re.IGNORECASE | re.ASCII)


# Two angles, both with their letter before or after. Where the comma is the decimal mark, it alone does not part them.
_PAIRS = tuple(
    _pair(mark, between, *letters)
    for letters in (("", f"{_LETTER}?"), (_LETTER, ""))
    for mark, between in ((r"\.", r"[,;\s]"), (",", r"(?:;|,\s|\s)"))
)
_GROUPS = 8  # of one angle


class UnusablePosition(UnusableInput):
    """Text that is no position. ``problem`` says what is wrong with it and what would be right."""

    def __init__(self, problem: Reason) -> None:
        self.problem = problem
        super().__init__([Fault(where="position", message=problem.text)])


def read_position(text: str) -> Position:
    """Longitude and latitude in degrees, to 6 decimals, of a position as it was copied or written.

    Taken are two numbers, latitude first, in decimal degrees, degrees and minutes, or degrees, minutes and seconds,
    with signs or with a letter each (then in any order), with a decimal point or comma; and a geo: link on WGS 84
    (RFC 5870).
    Raises UnusablePosition for other text, for letters or signs that leave the half of the globe open, for whole
    degrees, which are about 100 km apart, and for what is not on the map.
    """
    written = " ".join(text.translate(_SIGNS).split())
    if len(written) > POINT_LENGTH_MAX:
        _refuse("point.unreadable", text=_shortened(text))
    if link := _GEO.fullmatch(written):
        if _OTHER_GROUND.search(written):
            _refuse("point.unreadable", text=_shortened(text))
        return _judged(float(link[1]), float(link[2]), coarse="." not in link[1] + link[2])
    for pair in _PAIRS:
        found = pair.fullmatch(written)
        if found and (position := _position(found.groups(), written)):
            return position
    _refuse("point.unreadable", text=_shortened(text))


def _position(parts: tuple[str | None, ...], written: str) -> Position | None:
    """The position of two angles; None where it is not certain which of the numbers belong together."""
    one, other = parts[:_GROUPS], parts[_GROUPS:]
    if "°" not in written and _kind(one) != _kind(other):
        return None
    letters = [(angle[0] or angle[-1] or "").upper() for angle in (one, other)]
    signed = any(angle[1] for angle in (one, other))
    along = [letter in _EAST_OR_WEST for letter in letters if letter]
    if along and (signed or sorted(along) != [False, True]):
        _refuse("point.halves", text=_shortened(written))
    latitude, longitude = (_degrees(angle, letter) for angle, letter in zip((one, other), letters, strict=True))
    if along == [True, False]:
        latitude, longitude = longitude, latitude
    return _judged(latitude, longitude, coarse=all((angle[6] or "").isdecimal() for angle in (one, other)))


def _kind(angle: tuple[str | None, ...]) -> str:
    if angle[4] is not None:
        return "seconds"
    return "minutes" if angle[5] is not None else "degrees"


def _degrees(angle: tuple[str | None, ...], letter: str) -> float:
    whole, minutes, seconds, minutes_alone, degrees = (_number(part) for part in angle[2:7])
    size = whole + degrees + (minutes + minutes_alone) / 60 + seconds / 3600
    return -size if angle[1] == "-" or letter in {"S", *_WEST} else size


def _number(part: str | None) -> float:
    return float((part or "0").replace(",", "."))


def _judged(latitude: float, longitude: float, *, coarse: bool) -> Position:
    latitude, longitude = round(latitude, DECIMALS) + 0.0, round(longitude, DECIMALS) + 0.0
    shown = f"{latitude:.{DECIMALS}f}".rstrip("0").rstrip("."), f"{longitude:.{DECIMALS}f}".rstrip("0").rstrip(".")
    if abs(latitude) > LATITUDE_MAX or abs(longitude) > LONGITUDE_MAX:
        _refuse("corners.out_of_range", position=", ".join(shown))
    if coarse:
        _refuse("point.coarse", position=", ".join(shown))
    return longitude, latitude


def _shortened(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= _SHOWN_LENGTH else f"{text[: _SHOWN_LENGTH - 3]}..."


def _refuse(code: str, **values: Value) -> NoReturn:
    raise UnusablePosition(reason(code, **values))
