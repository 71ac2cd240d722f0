"""Forms of every app: how they are rendered, and the fields that are shared."""

from reedcrew.web.fieldsets import Fieldset
from reedcrew.web.forms.fields import AddressField, CountField, DayField, MonthDayField, NumberField, RowsField
from reedcrew.web.forms.guards import StaleCheckMixin, SubmissionMixin
from reedcrew.web.forms.photos import PHOTOS_MAX, PhotosField, PhotosInput
from reedcrew.web.forms.renderer import ElementRenderer
from reedcrew.web.forms.site_time import SiteTimeField, SiteTimeWidget

__all__ = [
    "PHOTOS_MAX",
    "AddressField",
    "CountField",
    "DayField",
    "ElementRenderer",
    "Fieldset",
    "MonthDayField",
    "NumberField",
    "PhotosField",
    "PhotosInput",
    "RowsField",
    "SiteTimeField",
    "SiteTimeWidget",
    "StaleCheckMixin",
    "SubmissionMixin",
]
