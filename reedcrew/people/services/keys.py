"""Encrypting the private columns anew after a key was put before the others."""

from django.apps import apps
from django.db import models, transaction

from reedcrew.people.fields import EncryptedTextField

ROWS_AT_ONCE = 200


def reencrypt() -> int:
    """Encrypt every private column with the first of FIELD_KEYS; the number of rows.

    Afterwards no older key is needed. It runs beside the web service, a few rows at a time, and any number of times.
    Raises cryptography.fernet.InvalidToken where none of the keys reads a row; what was done before that stays done.
    """
    return sum(
        _reencrypt(model, columns)
        for model in apps.get_models()
        if (columns := [c.name for c in model._meta.concrete_fields if isinstance(c, EncryptedTextField)])
    )


def _reencrypt(model: type[models.Model], columns: list[str]) -> int:
    done, last = 0, 0
    while True:
        with transaction.atomic():
            rows = model._base_manager.select_for_update(no_key=True).filter(pk__gt=last).order_by("pk")[:ROWS_AT_ONCE]
            some = list(rows)
            for row in some:
                row.save(update_fields=columns)
        if not some:
            return done
        done, last = done + len(some), some[-1].pk
