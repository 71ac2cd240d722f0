"""Text that people typed, made fit for a calendar object or a mail header."""

import unicodedata

# Every way a line can end, besides the line feed that stays (Unicode Standard, section 5.8, newline guidelines).
_LINE_ENDS = str.maketrans(dict.fromkeys("\r\v\f\x85\u2028\u2029", "\n") | {"\t": " "})


def plain_text(value: str) -> str:
    r"""``value`` with line ends as ``\n``, tabs as blanks, and neither control characters nor lone surrogates.

    RFC 5545 section 3.1 (CONTROL) forbids control characters in a content line; a lone surrogate has no UTF-8 form.
    Blanks at the ends of the whole are cut. Any string is accepted.
    """
    lines = value.replace("\r\n", "\n").translate(_LINE_ENDS)
    return "".join(sign for sign in lines if sign == "\n" or unicodedata.category(sign) not in {"Cc", "Cs"}).strip()


def one_line(value: str) -> str:
    """``plain_text`` on a single line, each run of white space made one blank. What a header or a name may hold."""
    return " ".join(plain_text(value).split())
