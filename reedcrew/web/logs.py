"""Keeping secrets out of the logs."""

import logging
import re

# Addresses whose last part lets its holder act or read: calendars, answers, turning mail off.
_SECRETS = re.compile(r"/(feed|answers|unsubscribe|calendar)/[^/\s\"\']+")


def masked(text: str) -> str:
    """The text with the secret part of addresses masked."""
    return _SECRETS.sub(r"/\1/***", text)


class MaskSecrets(logging.Filter):
    """Masks the secret part of addresses in messages and their arguments."""

    def filter(self, record: logging.LogRecord) -> bool:
        text = record.getMessage()
        if masked(text) != text:
            record.msg, record.args = masked(text), ()
        return True
