"""Forms of sites, stands, zones, checks and gauge levels: they check the shape; services ask for the meaning."""

from reedcrew.stands.forms.changes import sent_twice, values_of
from reedcrew.stands.forms.checks import CheckForm
from reedcrew.stands.forms.gauges import ChangeGaugeForm, GaugeForm
from reedcrew.stands.forms.levels import LevelForm, LevelRowsForm
from reedcrew.stands.forms.notices import ChangeNoticeForm, EndNoticeForm, RecordNoticeForm
from reedcrew.stands.forms.sites import MILLIONTH, ChangeSiteForm, SiteForm, TimeZoneField, TimeZoneInput
from reedcrew.stands.forms.stands import ChangeStandForm, StandForm
from reedcrew.stands.forms.zones import ChangeZoneForm, ZoneForm

__all__ = [
    "MILLIONTH",
    "ChangeGaugeForm",
    "ChangeNoticeForm",
    "ChangeSiteForm",
    "ChangeStandForm",
    "ChangeZoneForm",
    "CheckForm",
    "EndNoticeForm",
    "GaugeForm",
    "LevelForm",
    "LevelRowsForm",
    "RecordNoticeForm",
    "SiteForm",
    "StandForm",
    "TimeZoneField",
    "TimeZoneInput",
    "ZoneForm",
    "sent_twice",
    "values_of",
]
