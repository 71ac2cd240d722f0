"""The values that a group may change, with their defaults here and nowhere else.

A value marked (cp) is common practice with no published source. Who changed a value and when is recorded by people.
"""

from dataclasses import dataclass, field

from reedcrew.trade.month_day import MonthDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """One group's rules. Every field has a default; ``people.PolicyChange`` rows replace them one by one."""

    window_opens: MonthDay = field(default=MonthDay(7, 15))  # (cp) design, rule 1
    window_closes: MonthDay = field(default=MonthDay(10, 15))  # (cp) design, rule 1
    # Birds may nest until late August (general nesting period, canada.ca): the end of the month is the convention here.
    nest_check_until: MonthDay = field(default=MonthDay(8, 31))
    sun_days: int = 14  # (cp) days in direct sun before bagged material may go on; design, rule 6
    water_days_min: int = 1  # earlier water days that make an adult experienced; H2
    minor_depth_cm_max: int = 30  # deepest water for a person under 18 with their guardian; H3
    wading_depth_cm_max: int = 100  # H6
    wading_stature_share: float = 0.50  # wading limit as a share of stature; H6
    wading_safety_factor: float = 2.0  # divides the published depth x current limit; H7
    units_per_spotter: int = 5  # H10
    headcount_minutes: int = 20  # (cp) longest time between two head counts while anyone is in water
    seasoned_water_days: int = 3  # goal 3
    spare_tool_every: int = 5  # (cp) one spare tool for each started five; design, gear list
    water_stems_per_hour: float = 100.0  # (cp) starting work rate of one person in water; learned from records later
    land_stems_per_hour: float = 150.0  # (cp) the same on dry land
    private_months: int = 24  # (cp) an emergency contact and health note are kept so long after the last day
    mail_months: int = 24  # (cp) mails in and out are kept so long
    look_months: int = 36  # (cp) the record of looks at private records is kept so long
    gone_percent: float = 1.0  # (cp) of the stems of the first survey; a forecast names the year of so few


DEFAULT_POLICY = Policy()
