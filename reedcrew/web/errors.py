"""The family of expected refusals: a code for machines, a sentence for people, the field that is at fault."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.forms import BaseForm
from django.utils.functional import Promise

from reedcrew.web.times import date_text


class ReedcrewError(Exception):
    """Base of every refusal that a service gives. Each situation is a subclass with its own code and sentence.

    ``sentence`` is a lazy translation whose named places are filled with ``values``, dates among them as the reader's
    language writes them; ``field`` names the form field that would be right to change, or is None when it is the whole.
    """

    code: str = "refused"
    sentence: str | Promise = ""
    field: str | None = None
    status: int = 409

    def __init__(self, **values: object) -> None:
        self.values = values
        super().__init__(self.code)

    def __str__(self) -> str:
        if not self.values:
            return str(self.sentence)
        return str(self.sentence) % {name: _shown(value) for name, value in self.values.items()}


@contextmanager
def refusals_on(form: BaseForm) -> Iterator[None]:
    """Turn a refusal inside the block into an error of the form, at its field when the form has it.

    The caller checks ``form.is_valid()`` (or ``form.errors``) afterwards and shows the form again with all that was
    entered.
    """
    try:
        yield
    except ReedcrewError as error:
        place = error.field if error.field in form.fields else NON_FIELD_ERRORS
        wrong = ValidationError(str(error), code=error.code)
        form.add_error(None if place == NON_FIELD_ERRORS else place, wrong)


def _shown(value: object) -> object:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return date_text(value)
    return value
