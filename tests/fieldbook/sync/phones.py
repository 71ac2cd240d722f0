"""Phones for tests: they make entries and requests as the contract has them."""

import datetime
import json
import uuid
from typing import Any

from django.test import Client
from django.urls import reverse

from reedcrew.workdays.models import WorkDay


class Phone:
    """One phone whose clock is ``ahead`` of the true time."""

    def __init__(self, name: str = "Phone of the lead", *, ahead: datetime.timedelta = datetime.timedelta(0)) -> None:
        self.key, self.name, self.ahead = uuid.uuid4(), name, ahead

    def entry(
        self, kind: str, at: datetime.datetime, entry_id: uuid.UUID | None = None, /, **data: Any
    ) -> dict[str, Any]:
        """An entry that was made at a true time."""
        return {
            "id": str(entry_id or uuid.uuid4()),
            "kind": kind,
            "at": (at + self.ahead).isoformat(),
            "data": data,
        }

    def request(self, entries: list[Any], sent_at: datetime.datetime) -> dict[str, Any]:
        said = (sent_at + self.ahead).isoformat()
        return {"phone": str(self.key), "phone_name": self.name, "sent_at": said, "entries": entries}

    def send(self, client: Client, day: WorkDay, entries: list[Any], sent_at: datetime.datetime) -> Any:
        """What the server answers, the clock of the test standing at ``sent_at``."""
        return client.post(
            reverse("fieldbook:sync", args=[day.group.slug, day.pk]),
            data=json.dumps(self.request(entries, sent_at)),
            content_type="application/json",
        )
