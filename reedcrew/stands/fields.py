"""A day of any year as a database column."""

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.season import MonthDay, Window

if TYPE_CHECKING:  # Django's fields take type arguments in their stubs only
    _Text = models.CharField[MonthDay | str | None, MonthDay | None]
else:
    _Text = models.CharField


class MonthDayField(_Text):
    """Keeps a trade.season.MonthDay as ``MM-DD``, or NULL."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["max_length"] = 5
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, path, args, kwargs = super().deconstruct()
        del kwargs["max_length"]
        return name, path, args, kwargs

    def to_python(self, value: Any) -> MonthDay | None:
        if value in (None, ""):
            return None
        if isinstance(value, tuple):
            return MonthDay(*value)
        try:
            month, day = value.split("-")
            return MonthDay(int(month), int(day))
        except (AttributeError, ValueError) as error:
            raise ValidationError(_("Give a month and a day, as 07-15 for 15 July."), code="invalid") from error

    def from_db_value(self, value: str | None, expression: object, connection: object) -> MonthDay | None:
        return self.to_python(value)

    def get_prep_value(self, value: Any) -> str | None:
        parsed = self.to_python(value)
        return None if parsed is None else f"{parsed.month:02d}-{parsed.day:02d}"

    def value_to_string(self, obj: models.Model) -> str:
        return self.get_prep_value(self.value_from_object(obj)) or ""

    def validate(self, value: Any, model_instance: models.Model | None) -> None:
        if value is None:
            return
        try:
            Window(opens=value, closes=value)
        except UnusableInput as error:
            raise ValidationError(_("There is no such day of the year."), code="invalid") from error

    def run_validators(self, value: Any) -> None:
        """A MonthDay has no length for the text validators to judge."""
