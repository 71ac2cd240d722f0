"""Checks on the raw bytes of a calendar object, written from RFC 5545 without any library."""

import re

LINE_OCTETS = 75  # RFC 5545 section 3.1, without the line end

# RFC 5545 section 3.1, CONTROL: everything below the blank but the tab, and DEL. CR and LF are judged before.
_CONTROL = re.compile(rb"[\x00-\x08\x0a-\x1f\x7f]")


def byte_faults(raw: bytes) -> list[str]:
    """Everything that a strict reader would refuse; empty when the bytes are in order."""
    faults = []
    if not raw.startswith(b"BEGIN:VCALENDAR\r\n"):
        faults.append("does not begin with BEGIN:VCALENDAR (RFC 5545 section 3.4)")
    if not raw.endswith(b"END:VCALENDAR\r\n"):
        faults.append("does not end with END:VCALENDAR and a line end (RFC 5545 section 3.4)")
    for number, line in enumerate(raw.removesuffix(b"\r\n").split(b"\r\n"), start=1):
        if b"\r" in line or b"\n" in line:
            faults.append(f"line {number}: a line end that is not CR LF (RFC 5545 section 3.1)")
        elif _CONTROL.search(line):
            faults.append(f"line {number}: a control character (RFC 5545 section 3.1)")
        if len(line) > LINE_OCTETS:
            faults.append(f"line {number}: {len(line)} octets (RFC 5545 section 3.1)")
        if not line.strip():
            faults.append(f"line {number}: empty (RFC 5545 section 3.1)")
        try:
            text = line.decode("utf-8")
        except UnicodeDecodeError:
            faults.append(f"line {number}: a UTF-8 sequence is split or broken (RFC 5545 section 3.1)")
        else:
            if any("\x80" <= sign <= "\x9f" or sign in "\u2028\u2029" for sign in text):
                faults.append(f"line {number}: a control character of Unicode")
    return faults
