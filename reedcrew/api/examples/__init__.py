"""What programs ask and what they get, as the page of the API shows it. A test asks each, so that none can rot."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.api.scopes import Scope

FOLDER = Path(__file__).parent
SITE_OF_EXAMPLES = "http://127.0.0.1:8000"  # of an installation that nobody set up, as the tests run


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One question with its answer. ``scopes`` are those of the token that asks; ``file`` holds the answer."""

    address: str
    title: str | Promise
    sentence: str | Promise
    scopes: tuple[Scope, ...]
    file: str
    is_answered: bool = True  # else a problem is what it shows

    @property
    def path(self) -> str:
        """The address without what is asked for: where the description has its parameters."""
        return self.address.partition("?")[0]

    @property
    def anchor(self) -> str:
        return self.file.removesuffix(".json").replace("_", "-")

    @property
    def curl(self) -> str:
        """The question as a command, with the token in a variable of the shell."""
        return f'curl "{settings.SITE_URL}{self.address}" \\\n  -H "Authorization: Bearer $TOKEN"'

    @property
    def answer(self) -> str:
        return _read(self.file)


EXAMPLES: Sequence[Example] = (
    Example(
        address="/api/v1/token",
        title=_("What the token may read"),
        sentence=_("A good first question: it shows that the token holds, for which group, and until when."),
        scopes=(Scope.STANDS, Scope.DAYS),
        file="token.json",
    ),
    Example(
        address="/api/v1/stands?limit=1",
        title=_("Stands"),
        sentence=_(
            "Each stand with its zones, the state of the reed, its stems, and the density of each zone that was "
            "counted in quadrats, with its 95 % interval. A depth is that of the survey, not of today."
        ),
        scopes=(Scope.STANDS, Scope.OUTLINES),
        file="stands.json",
    ),
    Example(
        address="/api/v1/days?status=closed&first_date=2026-08-01&limit=1",
        title=_("Work days"),
        sentence=_(
            "Posted, closed and cancelled days with the permitted weeks, places and numbers of people. Who they are is "
            "never in it. What became of a day is there once it is closed."
        ),
        scopes=(Scope.DAYS,),
        file="days.json",
    ),
    Example(
        address="/api/v1/plans?first_date=2026-08-22",
        title=_("Plans"),
        sentence=_(
            "The plan of each day that counts: units, roles on shore, gear. People are told by their codes. A unit "
            "whose “stands” is false must not enter the water. The plan of one day is at /api/v1/days/{id}/plan."
        ),
        scopes=(Scope.PLANS,),
        file="plans.json",
    ),
    Example(
        address="/api/v1/hours?updated_since=2026-08-01T00:00:00Z&limit=2",
        title=_("Hours"),
        sentence=_(
            "Lines of the hours ledger. A line never changes: a correction is a line of its own. Sum up the lines "
            "whose “counts” is true. Seasons that were taken over from a spreadsheet are not in it."
        ),
        scopes=(Scope.HOURS, Scope.NAMES),
        file="hours.json",
    ),
    Example(
        address="/api/v1/stands?updated_since=yesterday",
        is_answered=False,
        title=_("When something is wrong"),
        sentence=_("Every answer but a good one says what is wrong, in the form of RFC 9457."),
        scopes=(Scope.STANDS,),
        file="problem.json",
    ),
)

MESSAGE = "message.json"
CHECK = "check_message.py"


def message_text() -> str:
    """The body of a message to a webhook."""
    return _read(MESSAGE)


def check_text() -> str:
    """The program by which a receiver checks a message."""
    return _read(CHECK)


def _read(name: str) -> str:
    """The text of a file, with the address of this site."""
    return (FOLDER / name).read_text().strip().replace(SITE_OF_EXAMPLES, settings.SITE_URL)
