"""What the fieldbook refuses to the apps above it while somebody is on site."""

from typing import Any

from reedcrew.fieldbook import services
from reedcrew.workdays.models import SignUp, WorkDay


def on_withdrawn(sender: object, *, sign_up: SignUp, **said: Any) -> None:
    services.ask_left(sign_up=sign_up)


def on_marked_absent(sender: object, *, sign_up: SignUp, **said: Any) -> None:
    services.ask_never_came(sign_up=sign_up)


def on_day_cancelled(sender: object, *, day: WorkDay, **said: Any) -> None:
    services.ask_everyone_left(day=day)
