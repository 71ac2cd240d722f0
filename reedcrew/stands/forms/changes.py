"""What forms of a change have in common."""

from typing import Any

from reedcrew.web.forms import (
    StaleCheckMixin,
)


def values_of(form: StaleCheckMixin) -> dict[str, Any]:
    """What a valid form of a change gives to its service, the version as the number that it is."""
    return {**form.cleaned_data, "version": int(form.cleaned_data["version"])}


def sent_twice(form: StaleCheckMixin) -> bool:
    """Whether a form of a change, sent with an old version, says only what is stored: its first arrival was saved."""
    return form.is_bound and not form.is_valid() and form.stale and not form.saved_meanwhile
