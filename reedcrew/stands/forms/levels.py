"""Forms of gauge levels."""

import datetime
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext_lazy

from reedcrew.stands.forms.level_rows import LevelUnit, read_level_rows
from reedcrew.stands.models import Gauge, Site
from reedcrew.stands.queries import RowProblem, level_problems
from reedcrew.stands.services import ROWS_MAX
from reedcrew.trade.water import GAUGE_CM_MAX
from reedcrew.web.forms import (
    CountField,
    SiteTimeField,
)

PROBLEMS_SHOWN = 20
FILE_BYTES_MAX = 2_000_000  # 20 000 rows of a hundred signs


class LevelForm(forms.Form):
    """A reading of a site's gauge."""

    level_cm = CountField(
        label=_("Gauge level"),
        unit="cm",
        min_value=-GAUGE_CM_MAX,
        max_value=GAUGE_CM_MAX,
        help_text=_("As read on the same gauge that the surveys used. It may be below zero."),
    )
    read_at = SiteTimeField(label=_("Read at"))

    def __init__(self, *args: Any, site: Site, now: datetime.datetime, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"read_at": now})
        super().__init__(*args, **kwargs)
        field = self.fields["read_at"]
        if isinstance(field, SiteTimeField):
            field.zone = site.zone_info


class GaugeChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # takes no argument at run time
    """One gauge of the site, told by name and zero."""

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.name}: {obj.datum}"


class LevelRowsForm(forms.Form):
    """Many readings of one gauge, pasted or from a file: all are kept, or none."""

    gauge = GaugeChoice(label=_("Gauge"), queryset=Gauge.objects.none(), empty_label=None)
    unit = forms.TypedChoiceField(
        label=_("Levels are in"),
        choices=[(LevelUnit.CM.value, _("centimetres")), (LevelUnit.M.value, _("metres"))],
        coerce=LevelUnit,
        initial=LevelUnit.CM.value,
        widget=forms.RadioSelect,
        help_text=_("Parts of a centimetre are rounded up: never less water than was read."),
    )
    rows = forms.CharField(
        label=_("Readings"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off", "class": "as-typed"}),
    )
    file = forms.FileField(
        label=_("Or a file"),
        required=False,
        help_text=_("A text file of the same rows, in UTF-8, as table programs save it (CSV)."),
    )

    def __init__(self, *args: Any, site: Site, now: datetime.datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site, self.now = site, now
        self.fields["gauge"].queryset = site.gauges.select_related("site__group")  # type: ignore[attr-defined]
        self.fields["rows"].help_text = _(
            "One reading a row: when it was read, and the level, apart by comma, semicolon or tab, such as "
            "“2026-07-18 09:30; 124”. "
            "Times without an offset from UTC are those of %(zone)s. At most %(limit)d rows."
        ) % {"zone": site.time_zone, "limit": ROWS_MAX}

    def clean_file(self) -> UploadedFile | None:
        """A file that is small enough to be read."""
        file: UploadedFile | None = self.cleaned_data["file"]
        if file is not None and (file.size or 0) > FILE_BYTES_MAX:
            raise forms.ValidationError(
                _("The file is larger than %(limit)d kB. Split it."), params={"limit": FILE_BYTES_MAX // 1000}
            )
        return file

    def clean(self) -> dict[str, Any]:
        """The rows as readings, or every problem by its row and column (the first twenty)."""
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        text: str = cleaned["rows"]
        if cleaned["file"] is not None:
            if text.strip():
                self.add_error("rows", _("Paste the readings or choose a file, not both."))
                return cleaned
            try:
                text = cleaned["file"].read().decode("utf-8-sig")
            except UnicodeDecodeError:
                self.add_error(
                    "file", _("This is no text in UTF-8. Save the table as CSV in UTF-8 and choose it again.")
                )
                return cleaned
        if "\0" in text:
            self.add_error("rows", _("This is no text. Save the table as CSV in UTF-8."))
            return cleaned
        read = read_level_rows(text, unit=cleaned["unit"], zone_info=self.site.zone_info)
        if not read.rows and not read.problems:
            self.add_error("rows", _("Paste at least one reading, or choose a file with some."))
        elif len(read.rows) > ROWS_MAX:
            self.add_error("rows", _("These are more than %(limit)d rows. Split them.") % {"limit": ROWS_MAX})
        else:
            problems = list(read.problems)
            if not problems:
                problems = level_problems(cleaned["gauge"], read.rows, self.now)
            self._say(problems, text)
        cleaned["rows"] = read.rows
        return cleaned

    def _say(self, problems: list[RowProblem], text: str) -> None:
        for problem in problems[:PROBLEMS_SHOWN]:
            self.add_error("rows", str(problem))
        more = len(problems) - PROBLEMS_SHOWN
        if more > 0:
            said = ngettext_lazy("%(count)d more row has a problem.", "%(count)d more rows have a problem.", more)
            self.add_error("rows", said % {"count": more})
        if problems and self.cleaned_data.get("file") is not None:
            # A browser forgets the file; its rows stay here to be mended.
            data = QueryDict(mutable=True)
            data.update(self.data)
            data[self.add_prefix("rows")] = text
            self.data = data
