"""The forecast of a day, copied from any source: it may be changed without changing the day itself."""

import datetime
from dataclasses import asdict, dataclass
from decimal import Decimal

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.workdays import errors, signals
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Air °C, relative humidity %, wind km/h, water °C; each None while it is unknown."""

    forecast_temp_c: Decimal | None = None
    forecast_rh_percent: int | None = None
    forecast_wind_km_h: Decimal | None = None
    forecast_water_temp_c: Decimal | None = None


def forecast_of(day: WorkDay) -> Forecast:
    """What a day's forecast says now."""
    return Forecast(
        forecast_temp_c=day.forecast_temp_c,
        forecast_rh_percent=day.forecast_rh_percent,
        forecast_wind_km_h=day.forecast_wind_km_h,
        forecast_water_temp_c=day.forecast_water_temp_c,
    )


@transaction.atomic
def change_forecast(
    *, day: WorkDay, version: int, forecast: Forecast, actor: Account, now: datetime.datetime
) -> WorkDay:
    """Enter or change the forecast of a posted day; a plan is due, for drinking water follows from it.

    The same forecast again changes nothing. ``version`` is the one that the form was opened with. Raises StaleDay or
    DayNotOpen.
    """
    day = WorkDay.objects.held(day.pk)
    if day.version != version:
        raise errors.StaleDay
    if not day.is_open:
        raise errors.DayNotOpen(status=day.get_status_display())
    if forecast_of(day) == forecast:
        return day
    values = asdict(forecast)
    for name, value in values.items():
        setattr(day, name, value)
    day.version += 1
    day.save(update_fields=[*values, "version"])
    said = {name: str(value) for name, value in values.items() if value is not None}
    record(group=day.group, actor=actor, at=now, deed="forecast changed", subject=day, **said)
    signals.roster_changed.send(WorkDay, day=day, now=now)
    return day
