"""Heat, cold, lightning and daylight."""

from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, Section, Table, Topic, Value
from reedcrew.trade import drinking_water, weather
from reedcrew.trade.briefing import LIGHTNING_WAIT_MIN
from reedcrew.trade.daylight import SUN_AT_HORIZON_DEGREES
from reedcrew.trade.work_rest import TABLE_F
from reedcrew.web.templatetags.reedcrew import amount


def work_and_rest() -> Table:
    return Table(
        caption=_("Minutes of work in each hour, by corrected air temperature"),
        headings=(_("From"), _("Light work"), _("Moderate work"), _("Heavy work")),
        cells=tuple(
            (amount(weather.celsius(from_f), "°C", 1), *(str(minutes) for minutes in row)) for from_f, *row in TABLE_F
        ),
    )


WEATHER = Topic(
    slug="weather",
    title=_("Heat, cold, lightning"),
    lead=_("What a forecast means for people who work hard in waders. Advice, not medicine."),
    icon="sun",
    cautions=("heat", "cold"),
    sections=(
        Section(
            anchor="heat",
            title=_("Heat"),
            says=_(
                "The heat index joins air temperature and humidity, in the shade; full sun adds to it. From each band "
                "on the page asks for more: reminders to drink and rest, shorter work, another day. Past the printed "
                "charts no number is claimed, and no work is right."
            ),
            why=_("Heat illness comes before people notice it, most of all to those who are new to the work."),
            source=(
                _("Heat index: Rothfusz, NWS Technical Attachment SR 90-23 (1990). Bands: OSHA heat index guide."),
                _("Full sun: weather.gov, osha.gov. Shade: 8 CCR § 3395. Rest: OSHA proposed rule of 2024, not final."),
                _("Humidex: Masterton and Richardson (1979), Environment Canada."),
            ),
            codes=(
                "felt",
                "weather",
                "weather.heat_lower",
                "weather.heat_moderate",
                "weather.heat_high",
                "weather.heat_very_high",
                "weather.heat_past_charts",
                "weather.shade",
                "weather.rest",
                "gear.heat_unknown",
            ),
            values=(
                *(
                    Value(
                        label=format_lazy(_("Heat index, {band} from"), band=_(band)),
                        amount=weather.celsius(from_f),
                        unit="°C",
                        places=1,
                    )
                    for from_f, band in reversed(weather.HEAT_BANDS_F)
                ),
                Value(
                    label=_("Heat index, very high to extreme above"),
                    amount=weather.celsius(weather.VERY_HIGH_ABOVE_F),
                    unit="°C",
                    places=1,
                ),
                Value(
                    label=_("Full sun can add"), amount=weather.FULL_SUN_ADDS_C, unit="°C", places=1, is_difference=True
                ),
                Value(label=_("Shade is offered from"), amount=weather.SHADE_TEMP_C, unit="°C", places=1),
                Value(
                    label=_("Rests begin at a heat index or an air temperature of"),
                    amount=weather.TRIGGER_HEAT_INDEX_C,
                    unit="°C",
                    places=1,
                ),
                Value(label=_("Rest, at least"), amount=weather.TRIGGER_REST_MIN, unit=_("minutes")),
                Value(label=_("In every"), amount=weather.REST_EACH_H, unit="h"),
            ),
        ),
        Section(
            anchor="work-and-rest",
            title=_("Work and rest"),
            says=_(
                "In great heat each hour is shared between work and rest. 60 is normal work; 0 means: do not work. "
                "The air temperature is first corrected for sun and humidity."
            ),
            why=_("It holds for people who are fit, rested, drinking and under 40. Everyone else needs more rest."),
            source=(
                _(
                    "NIOSH, Heat Stress: Work/Rest Schedules, from Criteria 2016-106. The corrections for sun and "
                    "humidity are from memory."
                ),
            ),
            codes=("work_rest",),
            table=work_and_rest,
        ),
        Section(
            anchor="drinking",
            title=_("Drinking water"),
            says=_("So much for each person and hour is brought along, and more in high heat; never more is drunk."),
            why=_("Thirst comes late. Too much at once is dangerous too."),
            source=(
                _("On site: 8 CCR § 3395(c). Ceiling: NIOSH, CDC 45851. When the one becomes the other: convention."),
            ),
            codes=("drinking_water", "briefing.drink"),
            values=(
                Value(label=_("For each person and hour"), amount=drinking_water.SUPPLY_L_PER_H, unit="L", places=2),
                Value(
                    label=_("In high heat, and never more"),
                    amount=drinking_water.CEILING_L_PER_H,
                    unit="L",
                    places=2,
                ),
            ),
        ),
        Section(
            anchor="cold-water",
            title=_("Cold water"),
            says=_(
                "Measure the water before anybody goes in. Cold water needs insulation under the waders and short "
                "spells; colder still, a fall can drown a person within minutes."
            ),
            why=_("Cold shock takes the breath before cold takes the strength, on a warm day too."),
            source=(
                _("Cold shock: Canadian boating safety guide. Cold water: US Coast Guard."),
                _("Within minutes: Transport Canada TP 13822 (2003)."),
            ),
            codes=("weather.cold_shock", "weather.cold_water", "weather.water_unknown"),
            values=(
                Value(label=_("Cold shock at or below"), amount=weather.COLD_SHOCK_C, unit="°C", places=1),
                Value(label=_("Cold water below"), amount=weather.COLD_WATER_C, unit="°C", places=1),
            ),
        ),
        Section(
            anchor="wind",
            title=_("Wind and cold"),
            says=_("In cold air wind makes it colder on the skin. Bring warm, dry clothes and keep spells short."),
            why=_("Wet gloves in a cold wind end a day early, and hands that do not close drop blades."),
            source=(_("Wind chill: NWS and ECCC (2001). Where it holds: NWS, from memory."),),
            codes=("weather.cool_wind", "weather.cold_wind", "felt.chill"),
            values=(
                Value(label=_("Given for air up to"), amount=weather.WIND_CHILL_TEMP_C_MAX, unit="°C"),
                Value(label=_("And wind from"), amount=weather.WIND_CHILL_WIND_KM_H_MIN, unit="km/h", places=1),
            ),
        ),
        Section(
            anchor="lightning",
            title=_("Lightning"),
            says=_(
                "Thunder heard or lightning seen: everybody out of the water and off the shore, into a car or a house. "
                "Back only a while after the last thunder; each new thunder starts the wait again."
            ),
            why=_("Whoever hears thunder can be struck. On open water a person is the highest point."),
            source=(_("Shelter and wait: extension.missouri.edu; the wait also tdi.texas.gov."),),
            codes=("briefing.thunder", "briefing.wait"),
            values=(Value(label=_("Wait after the last thunder"), amount=LIGHTNING_WAIT_MIN, unit=_("minutes")),),
        ),
        Section(
            anchor="daylight",
            title=_("Daylight"),
            says=_("Work stays between sunrise and sunset; the page of a day says so where it does not."),
            why=_("Nobody is counted well in the dark."),
            source=(
                COMMON_PRACTICE,
                _("Sunrise and sunset: the sun's centre 50 arcminutes below the horizon, US Naval Observatory."),
            ),
            codes=("daylight",),
            values=(Value(label=_("The sun at sunrise"), amount=SUN_AT_HORIZON_DEGREES, unit="°", places=2),),
        ),
    ),
)
