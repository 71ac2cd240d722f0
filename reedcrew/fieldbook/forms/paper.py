"""The paper sheets of a day as one form: people, stems by zone, loads. Made for a keyboard: one row after another."""

import datetime
import re
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.hours import OPENS_BEFORE
from reedcrew.fieldbook.models import LOAD_COUNT_MAX, Load
from reedcrew.fieldbook.services import PaperLoad, PaperStay
from reedcrew.stands.models import Zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.web.forms import CountField, SubmissionMixin
from reedcrew.web.lengths import length_of
from reedcrew.workdays.models import SignUp, WorkDay

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

LOAD_ROWS = 4  # of one page (convention); more are written on the page of the loads
PEOPLE_HEADS = (_("In"), _("Out"), _("In water"))
ZONE_HEADS = (_("Stems"),)
LOAD_HEADS = (_("Put away as"), _("How many"), _("Where"), _("Seed heads"))
_CLOCK = re.compile(r"(\d{1,2})\s*[:.h]?\s*(\d{2})")


class ClockField(forms.CharField):
    """A time of day as people type it: 9:05, 09:05, 905 or 9.05. Gives a datetime.time, None where it is empty."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "numeric", "autocomplete": "off", "size": 5}
        super().__init__(required=False, max_length=8, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> Any:
        written = super().clean(value)
        if not written:
            return None
        read = _CLOCK.fullmatch(written.strip())
        if read is None or int(read[1]) > 23 or int(read[2]) > 59:
            raise forms.ValidationError(_("Write a time such as 9:05."))
        return datetime.time(int(read[1]), int(read[2]))


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRow:
    """One row of the page: its name, what it is about, and its fields under the heads of their columns."""

    name: str
    label: str
    heads: Sequence["StrOrPromise"]
    fields: Sequence[forms.BoundField]

    @property
    def cells(self) -> list[tuple["StrOrPromise", forms.BoundField]]:
        return list(zip(self.heads, self.fields, strict=True))

    @property
    def errors(self) -> list[str]:
        return [str(error) for field in self.fields for error in field.errors]


class PaperForm(SubmissionMixin):
    """A row a person, a row a zone, and some rows of loads. Empty rows are left out."""

    def __init__(
        self, *args: Any, day: WorkDay, sign_ups: Sequence[SignUp], zones: Sequence[Zone], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.day, self.sign_ups, self.zones = day, list(sign_ups), list(zones)
        for each in self.sign_ups:
            name = each.member.name
            self.fields[f"in_{each.member_id}"] = ClockField(label=_("In: %(name)s") % {"name": name})
            self.fields[f"out_{each.member_id}"] = ClockField(label=_("Out: %(name)s") % {"name": name})
            self.fields[f"water_{each.member_id}"] = forms.BooleanField(
                label=_("In water: %(name)s") % {"name": name},
                required=False,
                initial=each.place == SignUp.Place.WATER,
            )
        for zone in self.zones:
            self.fields[f"stems_{zone.pk}"] = CountField(
                label=_("Stems: %(zone)s") % {"zone": zone.name}, required=False, max_value=STEMS_MAX
            )
        for number in range(1, LOAD_ROWS + 1):
            of = {"number": number}
            self.fields[f"kind_{number}"] = forms.ChoiceField(
                label=_("Load %(number)d: as") % of, choices=Load.Kind.choices, required=False
            )
            self.fields[f"count_{number}"] = CountField(
                label=_("Load %(number)d: how many") % of, required=False, min_value=1, max_value=LOAD_COUNT_MAX
            )
            self.fields[f"place_{number}"] = forms.CharField(
                label=_("Load %(number)d: where") % of, required=False, max_length=length_of(Load, "place")
            )
            self.fields[f"seeds_{number}"] = forms.BooleanField(
                label=_("Load %(number)d: seed heads") % of, required=False
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for each in self.sign_ups:
            key = each.member_id
            if cleaned.get(f"out_{key}") and not cleaned.get(f"in_{key}") and f"in_{key}" not in self.errors:
                self.add_error(f"in_{key}", _("Give the time of coming too."))
        for number in range(1, LOAD_ROWS + 1):
            count, place = cleaned.get(f"count_{number}"), cleaned.get(f"place_{number}")
            if place and count is None and f"count_{number}" not in self.errors:
                self.add_error(f"count_{number}", _("Give how many piles or bags."))
            if count and not place and f"place_{number}" not in self.errors:
                self.add_error(f"place_{number}", _("Give where they are."))
            if count and cleaned.get(f"kind_{number}") == Load.Kind.PILE and cleaned.get(f"seeds_{number}"):
                words = _("Material with seed heads goes into bags: seed would blow from a pile.")
                self.add_error(f"kind_{number}", words)
        return cleaned

    def refuse(self, rows: dict[str, str]) -> None:
        """Put what the services refused at the first field of its row."""
        for name, sentence in rows.items():
            self.add_error(self._first_field(name), sentence)

    def _first_field(self, row: str) -> str | None:
        kind, _space, key = row.partition(" ")
        field = {"person": f"in_{key}", "zone": f"stems_{key}", "load": f"kind_{key}"}.get(kind, "")
        return field if field in self.fields else None

    # --- What the page prints and what the services take -------------------------------------------------------------
    def people_rows(self) -> Iterator[PaperRow]:
        for each in self.sign_ups:
            key = each.member_id
            yield PaperRow(
                name=f"person {key}",
                label=each.member.name,
                heads=PEOPLE_HEADS,
                fields=[self[f"in_{key}"], self[f"out_{key}"], self[f"water_{key}"]],
            )

    def zone_rows(self) -> Iterator[PaperRow]:
        for zone in self.zones:
            yield PaperRow(name=f"zone {zone.pk}", label=zone.name, heads=ZONE_HEADS, fields=[self[f"stems_{zone.pk}"]])

    def load_rows(self) -> Iterator[PaperRow]:
        for number in range(1, LOAD_ROWS + 1):
            names = ("kind", "count", "place", "seeds")
            fields = [self[f"{name}_{number}"] for name in names]
            yield PaperRow(name=f"load {number}", label=str(number), heads=LOAD_HEADS, fields=fields)

    def stays(self) -> list[PaperStay]:
        data = self.cleaned_data
        return [
            PaperStay(
                row=f"person {each.member_id}",
                member=each.member,
                came_at=self._moment(data[f"in_{each.member_id}"]),
                left_at=self._moment(left) if (left := data[f"out_{each.member_id}"]) else None,
                in_water=data[f"water_{each.member_id}"],
            )
            for each in self.sign_ups
            if data[f"in_{each.member_id}"]
        ]

    def stems(self) -> dict[str, tuple[Zone, int]]:
        data = self.cleaned_data
        return {
            f"zone {zone.pk}": (zone, data[f"stems_{zone.pk}"])
            for zone in self.zones
            if data[f"stems_{zone.pk}"] is not None
        }

    def loads(self) -> list[PaperLoad]:
        data = self.cleaned_data
        return [
            PaperLoad(
                row=f"load {number}",
                kind=data[f"kind_{number}"],
                count=data[f"count_{number}"],
                seed_heads=data[f"seeds_{number}"],
                place=data[f"place_{number}"],
            )
            for number in range(1, LOAD_ROWS + 1)
            if data[f"count_{number}"]
        ]

    def submission_id(self) -> uuid.UUID:
        found: uuid.UUID = self.cleaned_data["submission"]
        return found

    def _moment(self, clock: datetime.time) -> datetime.datetime:
        """The time on the site's clock on the day; past midnight it is the next day's."""
        moment = datetime.datetime.combine(self.day.date, clock, tzinfo=self.day.zone_info).astimezone(datetime.UTC)
        return moment if moment >= self.day.starts_at - OPENS_BEFORE else moment + datetime.timedelta(days=1)
