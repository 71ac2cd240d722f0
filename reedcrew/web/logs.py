"""What goes into the logs: lines for people or for machines, the request they belong to, and nothing personal."""

import json
import logging
import re
from contextvars import ContextVar
from datetime import UTC, datetime

# Addresses whose last part lets its holder act or read: calendars, answers, turning mail off.
_SECRETS = re.compile(r"/(feed|answers|unsubscribe|calendar)/[^/\s\"\']+")
# A mailbox, and the password of a server's address with it.
_MAILBOX = re.compile(r"[^\s@<>\"'(),;:=/\[\]]+@[\w-]+(?:\.[\w-]+)*")
# PostgreSQL tells the values of a row that it refuses, a person's name among them, up to the next part of its message.
_ROW = re.compile(r"DETAIL:.*?(?=\nHINT:|\nCONTEXT:|\n\n(?:The above|During handling)|\Z)", re.DOTALL)

request_id: ContextVar[str] = ContextVar("request_id", default="")


def masked(text: str) -> str:
    """The text with the secret part of addresses masked."""
    return _SECRETS.sub(r"/\1/***", text)


def impersonal(text: str) -> str:
    """The text without secrets, mail addresses and values of rows."""
    return _MAILBOX.sub("***", _ROW.sub("DETAIL: ***", masked(text)))


class PlainLines(logging.Formatter):
    """A line for people: when, how grave, from where, of which request, what."""

    def __init__(self) -> None:
        super().__init__("{asctime} {levelname} {name}: {message}", style="{")

    def format(self, record: logging.LogRecord) -> str:
        return impersonal(super().format(record))

    def formatMessage(self, record: logging.LogRecord) -> str:
        """One line, whatever was put into the message; a traceback follows on lines of its own."""
        line = super().formatMessage(record).replace("\r", "\\r").replace("\n", "\\n")
        return f"{line} [{request_id.get()}]" if request_id.get() else line


class JsonLines(logging.Formatter):
    """One JSON object a line: at (UTC), level, logger, message; where there are any request, fields and traceback."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": impersonal(record.getMessage()),
        }
        if request_id.get():
            line["request"] = request_id.get()
        line |= getattr(record, "fields", {})
        if record.exc_info:
            line["traceback"] = impersonal(self.formatException(record.exc_info))
        return json.dumps(line, ensure_ascii=False)
