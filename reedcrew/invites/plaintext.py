"""Text that people typed, made fit for a calendar object or a mail header."""

from itertools import chain

# Every way a line can end, besides the line feed that stays (Unicode Standard, section 5.8, newline guidelines).
_LINE_ENDS = dict.fromkeys(map(ord, "\r\v\f\x85\u2028\u2029"), "\n") | {ord("\n"): "\n", ord("\t"): " "}
# Control characters and lone surrogates have no place (general categories Cc and Cs, Unicode Standard, table 4-4).
_NOWHERE: dict[int, str | None] = dict.fromkeys(chain(range(0x20), range(0x7F, 0xA0), range(0xD800, 0xE000)))
_FIT = _NOWHERE | _LINE_ENDS


def plain_text(value: str) -> str:
    r"""``value`` with line ends as ``\n``, tabs as blanks, and neither control characters nor lone surrogates.

    RFC 5545 section 3.1 (CONTROL) forbids control characters in a content line; a lone surrogate has no UTF-8 form.
    Blanks at the ends of the whole are cut. Any string is accepted.
    """
    return value.replace("\r\n", "\n").translate(_FIT).strip()


def one_line(value: str) -> str:
    """``plain_text`` on a single line, each run of white space made one blank. What a header or a name may hold."""
    return " ".join(plain_text(value).split())
