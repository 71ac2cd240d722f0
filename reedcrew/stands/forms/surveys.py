"""The sheet of a survey: what holds for all of it, rows of quadrats zone by zone, and pasted rows."""

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.forms.sites import MILLIONTH
from reedcrew.stands.forms.survey_rows import (
    COLUMNS,
    PASTED_LENGTH_MAX,
    degrees,
    read_quadrats,
    whole,
)
from reedcrew.stands.models import QUADRATS_MAX, Survey, Zone
from reedcrew.stands.models.surveys import HEIGHT_CM_MAX, QUADRAT_STEMS_MAX
from reedcrew.stands.services import QuadratEntry, ask_quadrats
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX
from reedcrew.trade.sampling import QUADRAT_M2_MAX, QUADRAT_M2_MIN, Place
from reedcrew.trade.water import DEPTH_CM_MAX, GAUGE_CM_MAX
from reedcrew.web.forms import CountField, DayField, Fieldset, NumberField, SubmissionMixin
from reedcrew.web.lengths import length_of

ROWS_OFFERED = 5  # empty rows for each zone, and so many more by the button
PROBLEMS_SHOWN = 20


class SurveyForm(SubmissionMixin):
    """What holds for a whole survey, and its pasted rows."""

    surveyed_on = DayField(label=_("Counted on"))
    quadrat_m2 = NumberField(
        label=_("Area of a quadrat"),
        unit="m²",
        min_value=QUADRAT_M2_MIN,
        max_value=QUADRAT_M2_MAX,
        decimal_places=3,
        help_text=_("1 for a square of 1 m by 1 m, 0.25 for one of 50 cm. All quadrats of a survey have one size."),
    )
    gauge_cm = CountField(
        label=_("Gauge level on this day"),
        unit="cm",
        required=False,
        min_value=-GAUGE_CM_MAX,
        max_value=GAUGE_CM_MAX,
        help_text=_("With it the depths you measured follow the water. It may be below zero."),
    )
    deepest_measured = forms.BooleanField(
        label=_("The deepest places where people would stand were measured too"),
        required=False,
        help_text=_(
            "A zone takes the greatest depth measured in it. A depth that is less than the zone has now, at the same "
            "water, is taken only with this tick: who may enter, and with what gear, is decided by it."
        ),
    )
    counted_by = forms.CharField(label=_("Who counted"), required=False, max_length=length_of(Survey, "counted_by"))
    note = forms.CharField(label=_("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}))
    pasted = forms.CharField(
        label=_("Paste rows of a table"),
        required=False,
        strip=False,
        max_length=PASTED_LENGTH_MAX,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off", "class": "as-typed"}),
    )

    fieldsets = (
        Fieldset(legend=_("The survey"), fields=("surveyed_on", "quadrat_m2", "gauge_cm", "counted_by", "note")),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pasted"].help_text = gettext(
            "One quadrat a row, apart by comma, semicolon or tab, in the order %(columns)s, or with a first row of "
            "these names. Only zone and stems are needed. Where decimals have a comma, use semicolon or tab."
        ) % {"columns": ", ".join(COLUMNS)}


class QuadratForm(forms.Form):
    """One row: a quadrat. A row without any entry is none."""

    stems = whole(QUADRAT_STEMS_MAX, required=True)
    depth_cm = whole(DEPTH_CM_MAX)
    height_cm = whole(HEIGHT_CM_MAX)
    seed_heads = whole(QUADRAT_STEMS_MAX)
    latitude = degrees(LATITUDE_MAX)
    longitude = degrees(LONGITUDE_MAX)
    planned = forms.BooleanField(required=False, widget=forms.HiddenInput)  # the position was drawn, not typed

    LABELS = {
        "stems": _("Stems"),
        "depth_cm": _("Depth, cm"),
        "height_cm": _("Height, cm"),
        "seed_heads": _("Seed heads"),
        "latitude": _("Latitude"),
        "longitude": _("Longitude"),
    }

    def __init__(self, data: Mapping[str, Any] | None, *, prefix: str, initial: dict[str, Any]) -> None:
        super().__init__(data, prefix=prefix, initial=initial, empty_permitted=True, use_required_attribute=False)
        for name, label in self.LABELS.items():
            self.fields[name].label = label

    @property
    def counted(self) -> list[forms.BoundField]:
        return [self[name] for name in ("stems", "depth_cm", "height_cm", "seed_heads")]

    @property
    def position(self) -> list[forms.BoundField]:
        return [self["latitude"], self["longitude"]]

    @property
    def shows_position(self) -> bool:
        """Whether something stands in the position, or is wrong with it."""
        return any(field.value() or (self.is_bound and field.errors) for field in self.position)

    def has_changed(self) -> bool:
        """Whether a quadrat was entered: a drawn position that nobody counted at is none."""
        typed = self.counted if self["planned"].value() else [*self.counted, *self.position]
        return any(str(field.value() or "").strip() for field in typed)

    def entry(self, zone: Zone, number: int) -> QuadratEntry:
        """The quadrat of a valid row."""
        values = {name: self.cleaned_data[name] for name in ("stems", "depth_cm", "height_cm", "seed_heads")}
        return QuadratEntry(
            zone=zone,
            number=number,
            latitude=_rounded(self.cleaned_data["latitude"]),
            longitude=_rounded(self.cleaned_data["longitude"]),
            **values,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneRows:
    """The rows of one zone, and the name of the input that says how many there are."""

    zone: Zone
    rows: tuple[QuadratForm, ...]
    count_name: str


class SurveySheet:
    """The form of a survey together with the rows of its zones; what is wrong is said at its row and in the summary.

    ``data`` is what was sent. With ``more``, the key of a zone, nothing is judged yet: the same is shown again with
    more empty rows. ``places`` are drawn positions for the rows of one zone.
    """

    def __init__(
        self,
        *,
        zones: Sequence[Zone],
        initial: Mapping[str, Any],
        data: Mapping[str, Any] | None = None,
        more: str = "",
        places: tuple[int, Sequence[Place]] | None = None,
    ) -> None:
        self.zones = zones
        self._sent, self.more = data, more
        bound = data if data is not None and not more else None
        self.form = SurveyForm(
            bound, initial={**initial, **(_as_initial(data, SurveyForm.base_fields, "") if more else {})}
        )
        self.blocks = tuple(self._block(zone, bound, places) for zone in zones)

    def _block(
        self, zone: Zone, bound: Mapping[str, Any] | None, places: tuple[int, Sequence[Place]] | None
    ) -> ZoneRows:
        count_name = f"rows-{zone.pk}"
        drawn = places[1] if places and places[0] == zone.pk else ()
        count = len(drawn) or ROWS_OFFERED
        if self._sent is not None:
            count = _count(self._sent.get(count_name), count)
            if self.more == str(zone.pk):
                count = min(count + ROWS_OFFERED, QUADRATS_MAX)
        rows = []
        for number in range(1, count + 1):
            prefix = f"z{zone.pk}-{number}"
            start: dict[str, Any] = {}
            if number <= len(drawn):
                place = drawn[number - 1]
                start = {"latitude": f"{place.latitude:.6f}", "longitude": f"{place.longitude:.6f}", "planned": True}
            if self.more:
                start = _as_initial(self._sent, QuadratForm.base_fields, f"{prefix}-")
            rows.append(QuadratForm(bound, prefix=prefix, initial=start))
        return ZoneRows(zone=zone, rows=tuple(rows), count_name=count_name)

    @property
    def values(self) -> dict[str, Any]:
        """What a valid sheet gives to the service beside the quadrats."""
        return {name: value for name, value in self.form.cleaned_data.items() if name != "pasted"}

    def _entered(self) -> Iterator[tuple[ZoneRows, int, QuadratForm]]:
        for block in self.blocks:
            for number, row in enumerate(block.rows, 1):
                if row.has_changed():
                    yield block, number, row

    def is_valid(self) -> bool:
        """Whether all of it can be recorded; ``entries`` then has the quadrats."""
        self.entries: tuple[QuadratEntry, ...] = ()
        whole_form = self.form.is_valid()
        entered = list(self._entered())
        rows_fit = [self._row_fits(*each) for each in entered]
        typed = [
            row.entry(block.zone, number) for (block, number, row), fits in zip(entered, rows_fit, strict=True) if fits
        ]
        taken = {block.zone.pk: number for block, number, _row in entered}
        pasted = read_quadrats(self.form.cleaned_data.get("pasted", ""), self.zones, taken)
        problems = [str(problem) for problem in pasted.problems]
        for fault in ask_quadrats([*typed, *pasted.entries]) if all(rows_fit) else ():
            if fault.index < len(typed):
                block, number, row = entered[fault.index]
                row.add_error(fault.field, str(fault.sentence))
                self._say(block, number, row, fault.field, str(fault.sentence))
            else:
                line = pasted.lines[fault.index - len(typed)]
                problems.append(
                    gettext("Row %(line)d, %(column)s: %(text)s")
                    % {"line": line, "column": fault.field, "text": fault.sentence}
                )
        for problem in problems[:PROBLEMS_SHOWN]:
            self.form.add_error("pasted", problem)
        if len(problems) > PROBLEMS_SHOWN:
            self.form.add_error("pasted", gettext("More rows have problems: mend these first."))
        self.entries = (*typed, *pasted.entries)
        return whole_form and all(rows_fit) and not self.form.errors

    def _row_fits(self, block: ZoneRows, number: int, row: QuadratForm) -> bool:
        if row.is_valid():
            return True
        for name, errors in row.errors.items():
            for error in errors:
                self._say(block, number, row, name, str(error))
        return False

    def _say(self, block: ZoneRows, number: int, row: QuadratForm, name: str, sentence: str) -> None:
        self.form.add_error(
            None,
            gettext("Zone “%(zone)s”, quadrat %(number)d, %(field)s: %(sentence)s")
            % {"zone": block.zone.name, "number": number, "field": row.fields[name].label, "sentence": sentence},
        )


class StrikeSurveyForm(forms.Form):
    """Why a survey is struck out."""

    reason = forms.CharField(
        label=_("Why it is wrong"),
        max_length=length_of(Survey, "struck_reason"),
        help_text=_("Such as: counted in the wrong zone. What is right is entered as a new survey."),
    )


def _count(sent: object, otherwise: int) -> int:
    """How many rows were sent; what is no such number counts as ``otherwise``."""
    text = str(sent or "")
    return min(int(text), QUADRATS_MAX) if text.isascii() and text.isdigit() and len(text) < 6 else otherwise


def _as_initial(sent: Mapping[str, Any] | None, fields: Mapping[str, forms.Field], prefix: str) -> dict[str, Any]:
    """What was sent, as the start values of the same fields."""
    return {name: sent.get(f"{prefix}{name}", "") for name in fields} if sent is not None else {}


def _rounded(value: Decimal | None) -> Decimal | None:
    return None if value is None else value.quantize(MILLIONTH)


def start_values(today: datetime.date, latest: Survey | None) -> dict[str, Any]:
    """What a new survey's form starts from: today, and the quadrat of the latest survey."""
    size = latest.quadrat_m2.normalize() if latest else 1
    return {"surveyed_on": today, "quadrat_m2": f"{size:f}" if latest else "1"}
