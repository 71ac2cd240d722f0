from typing import Any

from cryptography.fernet import InvalidToken
from django.core.management.base import BaseCommand, CommandError

from reedcrew.people.services import reencrypt


class Command(BaseCommand):
    help = (
        "Encrypt emergency contacts and health notes with the first of FIELD_KEYS. To change keys: put a new key "
        "before the others, restart, run this, then take the old keys away and restart."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            rows = reencrypt()
        except InvalidToken as error:
            raise CommandError(
                "A row was encrypted with a key that FIELD_KEYS does not hold. Add that key at the end and run this "
                "again."
            ) from error
        self.stdout.write(f"{rows} rows are encrypted with the first key; older keys are not needed any more.")
