"""Whether the own mail server vouches for the sender (RFC 8601): anybody can write that header further down."""

import re
from collections.abc import Sequence
from email.message import Message
from enum import StrEnum

_BY = re.compile(r"\bby\s+([A-Za-z0-9.-]+)", re.IGNORECASE)
_RESULT = re.compile(r"\b(dmarc|dkim)\s*=\s*([a-z]+)", re.IGNORECASE)
_COMMENT = re.compile(r"\([^()]*\)")


class Verdict(StrEnum):
    """What the own server says of the domain: it vouches, warns, or says nothing."""

    VOUCHED = "vouched"
    REFUTED = "refuted"
    SILENT = "silent"


def verdict_on(mail: Message, trusted: Sequence[str], domain: str) -> Verdict:
    """The verdict of a ``trusted`` server (by its authserv-id) on mail from ``domain``; SILENT when there is none.

    A header counts only above every Received line of another server (RFC 8601 section 5): below, a stranger wrote it.
    """
    ours = {name.lower() for name in trusted}
    for name, value in mail.items():
        text = " ".join(str(value).split())
        if name.lower() == "received":
            by = _BY.search(text)
            if by is None or by.group(1).lower() not in ours:
                return Verdict.SILENT
        elif name.lower() == "authentication-results":
            server, _semicolon, results = _COMMENT.sub("", text).partition(";")
            if server.split() and server.split()[0].lower() in ours:
                return _judged(results, domain.lower())
    return Verdict.SILENT


def _judged(results: str, domain: str) -> Verdict:
    verdict = Verdict.SILENT
    for clause in results.split(";"):
        found = _RESULT.search(clause)
        if found is None:
            continue
        method, result = found.group(1).lower(), found.group(2).lower()
        told = _property(clause, "header.from" if method == "dmarc" else "header.d")
        if result == "pass" and _aligned(told, domain):
            return Verdict.VOUCHED
        if method == "dmarc" and result == "fail":
            verdict = Verdict.REFUTED
    return verdict


def _property(clause: str, name: str) -> str:
    found = re.search(rf"{re.escape(name)}\s*=\s*@?([A-Za-z0-9.-]+)", clause, re.IGNORECASE)
    return found.group(1).lower() if found else ""


def _aligned(told: str, domain: str) -> bool:
    """Same domain, or a parent of it that is no bare top level (RFC 7489 section 3.1, relaxed, from memory)."""
    return told == domain or ("." in told and domain.endswith(f".{told}"))
