"""What a year of cutting may expect next: rule 8 of the design."""

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason

CLEAR_YEARS = 2  # a stand counts as gone only after so many years without a stem (convention)


def expected_next(year_of_treatment: int | None) -> Reason:
    """What to expect after this year of cutting, 1 for the first; None where cutting has not begun or no year is known.

    That a stand takes several years by hand is common practice; regrowth after one year is what the published trials
    of cutting agree on (Bickford and others 2026: two seasons of cutting under water left 1 to 8 % of the stems; Derr
    2008: all mown plots regrew after a year).

    Raises UnusableInput for a year below 1.
    """
    if year_of_treatment is None:
        return reason("treatment.not_begun")
    faults = Faults()
    faults.unless(year_of_treatment >= 1, "year_of_treatment", f"must be 1 or more, not {year_of_treatment}")
    faults.raise_any()
    if year_of_treatment == 1:
        return reason("treatment.first_year")
    return reason("treatment.later_year", year=year_of_treatment, clear_years=CLEAR_YEARS)
