"""The form of several days at once: what they share, and a row for each date."""

import datetime
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Stand
from reedcrew.web.fieldsets import Fieldset
from reedcrew.web.forms import DayField, SiteTimeField, SubmissionMixin
from reedcrew.workdays.errors import ClosedByAuthority, DaysRefused, OutsideWindow
from reedcrew.workdays.forms import DayForm
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.services import DayFacts

ROWS_FIRST = 4
ROWS_MORE = 4
ROWS_MAX = 40  # of one form: a season of Saturdays and Wednesdays (convention)
SHARED = ("title", "zones", "water_places", "land_places", "note", "what_to_bring")
REASONED = _("A day that needs a reason or a permit is posted by itself.")


def _clock(label: Any) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        input_formats=["%H:%M", "%H:%M:%S"],
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"invalid": _("Write the time as hours and minutes, such as 09:30.")},
    )


class SeveralDaysForm(SubmissionMixin):
    """Days of one stand that differ in their date alone. What each needs for itself is added on its own page later."""

    starts = _clock(_("Start"))
    ends = _clock(_("End"))
    rows = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, stand: Stand, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        single = DayForm(stand=stand)
        for name in SHARED:
            self.fields[name] = single.fields[name]
        self.zone = stand.site.zone_info
        written = str(self.data.get("rows", "") if self.is_bound else self.initial.get("rows", ""))
        count = int(written) if written.isascii() and written.isdigit() and len(written) < 4 else ROWS_FIRST
        self.initial["rows"] = min(max(count, 1), ROWS_MAX)
        self.row_names = [f"date_{number}" for number in range(1, self.initial["rows"] + 1)]
        for number, name in enumerate(self.row_names, start=1):
            label = _("Date %(number)d") % {"number": number}
            self.fields[name] = DayField(label=label, required=False)
        self.fieldsets = (
            Fieldset(
                legend=_("Dates"),
                fields=self.row_names,
                why=_("One a row; empty rows are passed over. Each is judged for itself, and all are posted or none."),
            ),
            Fieldset(legend=_("Each day"), fields=("title", "starts", "ends")),
            Fieldset(legend=_("The work"), fields=("zones", "water_places", "land_places")),
            Fieldset(legend=_("What people are told"), fields=("note", "what_to_bring")),
        )

    def clean(self) -> dict[str, Any]:
        """At least one date, none of them twice, and a clock time that each of them has."""
        cleaned = super().clean() or {}
        seen: dict[datetime.date, str] = {}
        self.moments: dict[str, tuple[datetime.datetime, datetime.datetime]] = {}
        for name in self.row_names:
            date = cleaned.get(name)
            if date is None:
                continue
            if date in seen:
                self.add_error(name, _("This date stands in another row already."))
            seen[date] = name
            self._read_clock(name, date, cleaned)
        if not seen and not any(name in self.errors for name in self.row_names):
            self.add_error(self.row_names[0], _("Give at least one date."))
        return cleaned

    def _read_clock(self, name: str, date: datetime.date, cleaned: dict[str, Any]) -> None:
        starts, ends = cleaned.get("starts"), cleaned.get("ends")
        if starts is None or ends is None:
            return
        clock = SiteTimeField(zone=self.zone)
        try:
            moments = [clock.compress([date, time]) for time in (starts, ends)]
        except forms.ValidationError as error:
            self.add_error(name, error)
            return
        if moments[0] and moments[1]:
            self.moments[name] = moments[0], moments[1]

    @property
    def facts(self) -> list[DayFacts]:
        """The days in the order of their rows."""
        shared = {name: self.cleaned_data[name] for name in SHARED}
        shared["zones"] = list(shared["zones"])
        return [DayFacts(starts_at=starts, ends_at=ends, **shared) for starts, ends in self.moments.values()]

    def refuse(self, refused: DaysRefused) -> None:
        """Put each refusal at its row, or at the field that all days share."""
        names = list(self.moments)
        said: set[tuple[str, str]] = set()
        for number, error in refused.refusals.items():
            field = {"ends_at": "ends"}.get(error.field or "", error.field)
            place = field if field in self.fields else names[number]
            text = str(error)
            if isinstance(error, OutsideWindow | ClosedByAuthority):
                text = f"{text} {REASONED}"
            if (place, text) not in said:
                said.add((place, text))
                self.add_error(place, text)


def with_more_rows(data: QueryDict, stand: Stand) -> SeveralDaysForm:
    """The form again as it was sent, with more empty rows, nothing judged yet and nothing lost."""
    sent = SeveralDaysForm(data, stand=stand)
    initial: dict[str, Any] = {
        name: data.getlist(name) if name == "zones" else data.get(name, "") for name in sent.fields
    }
    return SeveralDaysForm(initial={**initial, "rows": len(sent.row_names) + ROWS_MORE}, stand=stand)


def values_of_day(day: WorkDay, date: datetime.date) -> dict[str, Any]:
    """What of a day is posted again, on another date. Nobody of its roster, no forecast, reason or permit."""
    starts, ends = (moment.astimezone(day.zone_info).time() for moment in (day.starts_at, day.ends_at))
    values = {name: getattr(day, name) for name in SHARED if name != "zones"}
    return {**values, "zones": list(day.zones.all()), "starts": starts, "ends": ends, "date_1": date}
