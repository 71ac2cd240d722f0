"""A text column that is encrypted at rest."""

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from cryptography.fernet import Fernet, MultiFernet
from django.conf import settings
from django.db import models

if TYPE_CHECKING:  # Django's fields take type arguments in their stubs only
    _Text = models.TextField[str, str]
else:
    _Text = models.TextField


@lru_cache(maxsize=4)
def _cipher(keys: tuple[str, ...]) -> MultiFernet:
    return MultiFernet([Fernet(key) for key in keys])


def cipher() -> MultiFernet:
    """The installation's cipher: the first of FIELD_KEYS encrypts, every one of them decrypts, so keys can rotate."""
    return _cipher(tuple(settings.FIELD_KEYS))


class EncryptedTextField(_Text):
    """Text kept as a Fernet token; empty text stays empty, so that "nothing told" needs no key.

    It cannot be searched or compared in the database. Reading with a wrong key raises cryptography.fernet.InvalidToken.
    """

    def get_prep_value(self, value: Any) -> Any:
        text = super().get_prep_value(value)
        return cipher().encrypt(text.encode()).decode() if text else text

    def from_db_value(self, value: str | None, expression: object, connection: object) -> str | None:
        return cipher().decrypt(value.encode()).decode() if value else value
