"""A moment entered as day and clock time of a site."""

from datetime import UTC, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.web.forms.fields import DayField, label_parts
from reedcrew.web.times import in_zone, zone_name


class SiteTimeWidget(forms.MultiWidget):
    """The browser's own inputs for a day and a time, with labels, and the zone whose clock is meant."""

    template_name = "web/form/parts.html"
    use_fieldset = True
    zone: ZoneInfo | None = None

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(
            {
                "day": forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
                "time": forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
            },
            attrs,
        )

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add the label of each part and the name of the zone."""
        context = super().get_context(name, value, attrs)
        label_parts(context, (_("Day"), _("Time")))
        context["widget"]["zone"] = self.zone
        return context

    def decompress(self, value: datetime | None) -> list[Any]:
        """Day and clock time of a moment in the site's zone."""
        if value is None:
            return [None, None]
        local = in_zone(value, self.zone) if self.zone else value
        return [local.date(), local.time().replace(second=0, microsecond=0)]


class SiteTimeField(forms.MultiValueField):
    """A moment, entered on the clock of ``zone``; gives an aware datetime in UTC.

    A form whose zone depends on the row sets ``self.fields["starts_at"].zone`` when it is made. A clock time that is
    skipped when the clocks go forward is refused. One that happens twice is taken as the first, and ``note`` says so.
    """

    widget = SiteTimeWidget
    note: str | Promise = ""
    default_error_messages = {
        "invalid": _("Give a day and a time."),
        "incomplete": _("Give both the day and the time."),
        "skipped": _(
            "The clocks go forward here and skip %(clock)s on that day. Give a time before it, or %(instead)s."
        ),
    }

    def __init__(self, *, zone: str | ZoneInfo | None = None, **kwargs: Any) -> None:
        fields = (
            DayField(),
            forms.TimeField(
                input_formats=["%H:%M", "%H:%M:%S"],
                error_messages={"invalid": _("Write the time as hours and minutes, such as 09:30.")},
            ),
        )
        super().__init__(fields, require_all_fields=False, **kwargs)
        if zone is not None:
            self.zone = zone

    @property
    def zone(self) -> ZoneInfo:
        """The zone on whose clock the time is meant. Raises RuntimeError while the form has not said it."""
        if self.widget.zone is None:
            raise RuntimeError("A SiteTimeField needs the zone of its site before it is used.")
        return self.widget.zone

    @zone.setter
    def zone(self, zone: str | ZoneInfo) -> None:
        self.widget.zone = zone if isinstance(zone, ZoneInfo) else ZoneInfo(zone)

    def compress(self, data_list: list[Any]) -> datetime | None:
        """The moment in UTC. Raises ValidationError "skipped" for a clock time that does not happen."""
        if not data_list:
            return None
        day, clock = data_list
        first = datetime.combine(day, clock, tzinfo=self.zone)
        second = first.replace(fold=1)
        moment = first.astimezone(UTC)
        if moment.astimezone(self.zone).time() != clock:
            raise ValidationError(
                self.error_messages["skipped"],
                code="skipped",
                params={"clock": _clock(clock), "instead": _clock(moment.astimezone(self.zone).time())},
            )
        if first.utcoffset() != second.utcoffset():
            self.note = _(
                "The clocks go back on that day and %(clock)s comes twice. The first one is taken, in %(zone)s."
            ) % {
                "clock": _clock(clock),
                "zone": zone_name(first),
            }
        return moment


def _clock(clock: time) -> str:
    return clock.strftime("%H:%M")
