"""Text as the paper can print it: what its fonts have no glyph for is never left to become an empty box unnoticed."""

import re
import unicodedata

# Code points that the fonts inside typst draw (Libertinus Serif, then DejaVu Sans Mono); a test draws them all. Latin,
# Greek, Cyrillic, Armenian, Hebrew, Arabic with the letters of Persian, Georgian, and signs.
DRAWN = (
    (0x20, 0x7E),
    (0xA0, 0x34E),
    (0x370, 0x482),
    (0x48A, 0x4FF),
    (0x531, 0x5EA),
    (0x60C, 0x60C),
    (0x621, 0x63A),
    (0x640, 0x669),
    (0x67E, 0x67E),
    (0x686, 0x686),
    (0x698, 0x698),
    (0x6A9, 0x6A9),
    (0x6AF, 0x6AF),
    (0x6CC, 0x6CC),
    (0x10D0, 0x10FF),
    (0x1E00, 0x1FFE),
    (0x2010, 0x2040),
    (0x2070, 0x20C0),
    (0x2190, 0x2246),
    (0x2248, 0x225F),
    (0x2261, 0x22A0),
    (0x2300, 0x23FF),
    (0x2500, 0x25CB),
)
STAND_IN = "□"  # for one sign without a glyph
LONGEST_WORD = 30  # signs without a space; a longer run may break anywhere (convention)
_RUN = re.compile(rf"\S{{{LONGEST_WORD},}}")


def is_drawn(sign: str) -> bool:
    """Whether the paper has a glyph for a sign."""
    return any(first <= ord(sign) <= last for first, last in DRAWN)


def drawn(text: str) -> bool:
    """Whether the paper can print all of a text."""
    return all(is_drawn(sign) for sign in _composed(text) if sign != "\n")


def printable(text: str) -> str:
    """A text as the paper prints it: signs without a glyph become a box, controls go, long runs may break."""
    shown = "".join(sign if sign == "\n" or is_drawn(sign) else STAND_IN for sign in _composed(text))
    return _RUN.sub(lambda run: "\N{ZERO WIDTH SPACE}".join(_pieces(run.group())), shown)


def _pieces(run: str) -> list[str]:
    return [run[start : start + LONGEST_WORD] for start in range(0, len(run), LONGEST_WORD)]


def _composed(text: str) -> str:
    # Controls, also those that turn the direction of writing round, have no place on paper.
    whole = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\t", " "))
    return "".join(sign for sign in whole if sign == "\n" or unicodedata.category(sign)[0] != "C")
