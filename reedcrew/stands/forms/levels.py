"""Forms of gauge levels."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import Site
from reedcrew.trade.water import GAUGE_CM_MAX
from reedcrew.web.forms import (
    CountField,
    SiteTimeField,
)


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
