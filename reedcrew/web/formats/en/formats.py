"""English: the day before the month, and 24 hours, so that no reader takes one for the other."""

DATE_FORMAT = "j F Y"
YEAR_MONTH_FORMAT = "F Y"
MONTH_DAY_FORMAT = "j F"
SHORT_DATE_FORMAT = "j M Y"
TIME_FORMAT = "H:i"
DATETIME_FORMAT = "j F Y, H:i"
SHORT_DATETIME_FORMAT = "j M Y, H:i"
FIRST_DAY_OF_WEEK = 1
