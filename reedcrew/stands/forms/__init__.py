"""Forms of sites, stands, zones, checks and gauge levels: they check the shape; services ask for the meaning."""

from reedcrew.stands.forms.changes import sent_twice, values_of
from reedcrew.stands.forms.checks import CheckForm, PhotosForm
from reedcrew.stands.forms.decisions import DecisionForm
from reedcrew.stands.forms.gauges import ChangeGaugeForm, GaugeForm
from reedcrew.stands.forms.geojson import ImportForm
from reedcrew.stands.forms.levels import LevelForm, LevelRowsForm
from reedcrew.stands.forms.notices import ChangeNoticeForm, EndNoticeForm, RecordNoticeForm
from reedcrew.stands.forms.outlines import OutlineField, OutlineForm
from reedcrew.stands.forms.sites import MILLIONTH, ChangeSiteForm, SiteForm, TimeZoneField, TimeZoneInput
from reedcrew.stands.forms.stands import ChangeStandForm, StandForm
from reedcrew.stands.forms.survey_plans import PlacesForm, SurveyPlanForm
from reedcrew.stands.forms.survey_rows import pasted_text, read_quadrats
from reedcrew.stands.forms.surveys import StrikeSurveyForm, SurveySheet, start_values
from reedcrew.stands.forms.zones import ChangeZoneForm, ZoneForm

__all__ = [
    "MILLIONTH",
    "ChangeGaugeForm",
    "ChangeNoticeForm",
    "ChangeSiteForm",
    "ChangeStandForm",
    "ChangeZoneForm",
    "CheckForm",
    "DecisionForm",
    "EndNoticeForm",
    "GaugeForm",
    "ImportForm",
    "LevelForm",
    "LevelRowsForm",
    "OutlineField",
    "OutlineForm",
    "PhotosForm",
    "PlacesForm",
    "RecordNoticeForm",
    "SiteForm",
    "StandForm",
    "StrikeSurveyForm",
    "SurveyPlanForm",
    "SurveySheet",
    "TimeZoneField",
    "TimeZoneInput",
    "ZoneForm",
    "pasted_text",
    "read_quadrats",
    "sent_twice",
    "start_values",
    "values_of",
]
