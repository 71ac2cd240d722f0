"""Fields for numbers, days and days of the year, forgiving about how people write them."""

import calendar
import datetime
import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.dates import MONTHS
from django.utils.functional import Promise, keep_lazy_text
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from reedcrew.web.addresses import ADDRESS_LENGTH, AddressError, mail_address
from reedcrew.web.times import LEAP_YEAR

# A point or a comma before the decimals; spaces (also unbreakable and narrow ones) or apostrophes between thousands.
_SPACES = re.compile(r"[\s\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}'’]")
_PLAIN = re.compile(r"[+\-−]?(\d+([.,]\d*)?|[.,]\d+)")
_GROUPED_COMMA = re.compile(r"[+\-−]?\d{1,3}(,\d{3})+\.\d+")
_GROUPED_POINT = re.compile(r"[+\-−]?\d{1,3}(\.\d{3})+,\d+")
_MAY_BE_THOUSANDS = re.compile(r"[+\-−]?[1-9]\d{0,2},\d{3}")


# What a day can mean (convention); calendars and time zones also end somewhere.
FIRST_YEAR, LAST_YEAR = 1900, 2199
_KEY_DIGITS = 18  # a key has 63 bits
_UNLIKELY = format_lazy(_("Give a day in the years {first} to {last}."), first=FIRST_YEAR, last=LAST_YEAR)


class NumberField(forms.DecimalField):
    """A number with decimals, written with a point or a comma, with or without spaces between thousands.

    Gives a Decimal. ``unit`` is printed beside the input. "1,200" could mean 1200 or 1.2 and is asked back instead of
    guessed.
    """

    default_error_messages = {
        "invalid": _("Write a number, such as 12 or 12.5."),
        "ambiguous": _("Write %(whole)s or %(part)s, so that it is clear which of the two is meant."),
        "max_decimal_places": _("Write at most %(max)s digits after the point."),
    }

    def __init__(self, *, unit: str | Promise = "", **kwargs: Any) -> None:
        self.unit = unit
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)
        _say_limits(self, unit)

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]  # the stubs derive it from whole numbers
        """The Decimal that was written. Raises ValidationError "invalid" or "ambiguous"."""
        return super().to_python(_as_point_number(value, self.error_messages) if isinstance(value, str) else value)


class CountField(forms.IntegerField):
    """A whole number, such as stems or people, with or without separators between thousands."""

    default_error_messages = {"invalid": _("Write a whole number, such as 12.")}

    def __init__(self, *, unit: str | Promise = "", **kwargs: Any) -> None:
        self.unit = unit
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}))
        super().__init__(**kwargs)
        _say_limits(self, unit)

    def to_python(self, value: Any) -> int | None:
        """The whole number that was written; a comma or point between groups of three digits is a separator."""
        if isinstance(value, str):
            text = _SPACES.sub("", value).replace("−", "-")
            value = re.sub(r"[.,]", "", text) if re.fullmatch(r"-?\d{1,3}([.,]\d{3})+", text) else text
        return super().to_python(value)


def _as_point_number(written: str, messages: Mapping[str, Any]) -> str:
    text = _SPACES.sub("", written)
    if _MAY_BE_THOUSANDS.fullmatch(text):
        raise ValidationError(
            messages["ambiguous"],
            code="ambiguous",
            params={"whole": text.replace(",", ""), "part": text.replace(",", ".").rstrip("0").rstrip(".")},
        )
    if _GROUPED_COMMA.fullmatch(text):
        text = text.replace(",", "")
    elif _GROUPED_POINT.fullmatch(text):
        text = text.replace(".", "").replace(",", ".")
    elif text and not _PLAIN.fullmatch(text):
        raise ValidationError(messages["invalid"], code="invalid")
    return text.replace(",", ".").replace("−", "-")


@keep_lazy_text
def _without_percent(unit: str) -> str:
    """A unit for words that a validator fills its limit into by percent signs."""
    return unit.replace("%", "%%")


def _say_limits(field: forms.Field, unit: str | Promise) -> None:
    """Give the limits' errors words that say what would be right, with the unit."""
    unit = _without_percent(unit)
    for validator in field.validators:
        if isinstance(validator, MinValueValidator):
            validator.message = (
                format_lazy(_("Write %(limit_value)s {unit} or more."), unit=unit)
                if unit
                else _("Write %(limit_value)s or more.")
            )
        elif isinstance(validator, MaxValueValidator):
            validator.message = (
                format_lazy(_("Write %(limit_value)s {unit} or less."), unit=unit)
                if unit
                else _("Write %(limit_value)s or less.")
            )


class DayField(forms.DateField):
    """A day, picked with the browser's own calendar. A year that no record can mean is a slip of the keyboard."""

    default_error_messages = {"invalid": _("Pick a day, or write it as year-month-day, such as 2026-07-18.")}
    default_validators = [
        MinValueValidator(datetime.date(FIRST_YEAR, 1, 1), _UNLIKELY),
        MaxValueValidator(datetime.date(LAST_YEAR, 12, 31), _UNLIKELY),
    ]

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}))
        kwargs.setdefault("input_formats", ["%Y-%m-%d"])
        super().__init__(**kwargs)


class AddressField(forms.EmailField):
    """A mail address that mail can be sent to, and that fits the columns for addresses."""

    default_error_messages = {"invalid": _("Write one mail address, such as name@example.org.")}

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", ADDRESS_LENGTH)
        kwargs.setdefault("widget", forms.EmailInput(attrs={"autocomplete": "email"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> str:
        """The address as it was written. Raises ValidationError for one that no mail reaches."""
        address: str = super().clean(value)
        if address:
            try:
                mail_address(address)
            except AddressError as error:
                raise ValidationError(self.error_messages["invalid"], code="invalid") from error
        return address


class RowsField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]  # takes no argument at run time
    """Some rows of a list, ticked. A number that no key can be is one that the list has not, not a database error."""

    def clean(self, value: Any) -> Any:
        """The rows of the keys. Raises ValidationError "invalid_choice" for a key that is not in the list."""
        for key in value or ():
            if len(str(key)) > _KEY_DIGITS:
                raise ValidationError(
                    self.error_messages["invalid_choice"], code="invalid_choice", params={"value": key}
                )
        return super().clean(value)


class MonthDayWidget(forms.MultiWidget):
    """The day of the month as a number and the month as a list, each with its own label."""

    template_name = "web/form/parts.html"
    use_fieldset = True

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        day = forms.NumberInput(attrs={"min": 1, "max": 31, "inputmode": "numeric"})
        month = forms.Select(choices=[("", "—"), *MONTHS.items()])
        super().__init__({"day": day, "month": month}, attrs)

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add the label of each part. A stored pair is a tuple, which Django would take for the parts as they are."""
        parts = self.decompress(value) if isinstance(value, tuple) else value
        context = super().get_context(name, parts, attrs)
        label_parts(context, (_("Day"), _("Month")))
        return context

    def decompress(self, value: Sequence[int] | None) -> list[int | None]:
        """Day and month of a (month, day) pair."""
        return [value[1], value[0]] if value else [None, None]


def label_parts(context: dict[str, Any], labels: Sequence[str | Promise]) -> None:
    """Put a label on each part of a MultiWidget that is rendered by web/form/parts.html."""
    for part, label in zip(context["widget"]["subwidgets"], labels, strict=True):
        part["label"] = label


class MonthDayField(forms.MultiValueField):
    """A day of any year. Gives ``build(month, day)``, by default the plain pair (month, day).

    29 February is accepted: it is a day of some years.
    """

    widget = MonthDayWidget
    default_error_messages = {
        "invalid": _("Write a day from 1 to 31 and pick its month."),
        "incomplete": _("Give both the day and the month."),
        "no_such_day": _("%(month)s has %(days)s days. Write a day from 1 to %(days)s."),
    }

    def __init__(self, *, build: Callable[[int, int], Any] = lambda month, day: (month, day), **kwargs: Any) -> None:
        self.build = build
        invalid = {"invalid": self.default_error_messages["invalid"]}
        fields = (
            forms.IntegerField(error_messages=invalid),
            forms.TypedChoiceField(
                choices=list(MONTHS.items()), coerce=int, error_messages={"invalid_choice": invalid["invalid"]}
            ),
        )
        # Not "all required": half an answer to an optional question is asked back instead of being dropped.
        super().__init__(fields, require_all_fields=False, **kwargs)

    def compress(self, data_list: list[Any]) -> Any:
        """The pair that was entered. Raises ValidationError for a day that the month does not have."""
        if not data_list:
            return None
        day, month = data_list
        days = calendar.monthrange(LEAP_YEAR, month)[1]
        if not 1 <= day <= days:
            raise ValidationError(
                self.error_messages["no_such_day"], code="no_such_day", params={"month": MONTHS[month], "days": days}
            )
        return self.build(month, day)
