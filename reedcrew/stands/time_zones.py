"""The names of time zones that a site can have."""

from functools import cache
from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

# Entries of the machine's copy of the database that name no place and mean another thing on another machine.
_NOT_ZONES = frozenset({"localtime", "Factory", "posixrules"})


@cache
def time_zones() -> tuple[str, ...]:
    """Names of the IANA time zone database, sorted. Read once a process: it takes a walk through hundreds of files."""
    return tuple(sorted(available_timezones() - _NOT_ZONES))


def validate_time_zone(value: str) -> None:
    """Refuse what is no name of the IANA time zone database."""
    if value not in time_zones():
        raise ValidationError(
            _("“%(value)s” is no time zone. Give a name such as America/Toronto or Europe/Berlin."),
            code="time_zone",
            params={"value": value},
        )
