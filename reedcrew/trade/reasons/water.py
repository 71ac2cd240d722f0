"""Sentences about water, the cut it asks for, weather and daylight."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

WATER_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # trade.water
        "water.no_gauge": _("Depth is {depth_cm} cm as surveyed: there is no gauge to correct it by."),
        "water.no_gauge_at_survey": _("Depth is {depth_cm} cm as surveyed: the gauge was not read at the survey."),
        "water.no_gauge_today": _("Depth is {depth_cm} cm as surveyed: the gauge was not read today."),
        "water.gauge_replaced": _(
            "Depth is {depth_cm} cm as surveyed: the gauge was replaced or set anew since, and levels of two gauges "
            "cannot be compared. Survey the depth again."
        ),
        "water.depth_by_gauge": _(
            "Depth today is {depth_cm} cm: {surveyed_cm} cm surveyed, with the gauge at {at_survey_cm} cm then and "
            "{today_cm} cm today."
        ),
        "water.wading_open": _("Depth × current is {product_m2_s} m²/s, under the limit of {limit_m2_s} m²/s."),
        # trade.method
        "method.cut_at_bed": _(
            "{depth_cm} cm of water is over {limit_cm} cm: cut as near the bed as possible with a hand sickle or a "
            "long-handled cane cutter."
        ),
        "method.spade_at_base": _(
            "{depth_cm} cm of water is not over {limit_cm} cm: set a sharpened spade at about 45° to the base of the "
            "stem and disturb as little soil as possible."
        ),
        "wear.water_work": _(
            "{depth_cm} cm of water is over {limit_cm} cm: chest waders, a life jacket, gloves and eye protection, "
            "in pairs."
        ),
        "wear.shallow": _(
            "{depth_cm} cm of water: rubber boots or water shoes, never bare feet, for old stubs are sharp; gloves and "
            "eye protection; still in pairs."
        ),
        "wear.dry": _("On dry land: sturdy closed shoes, gloves and eye protection."),
        # trade.moves
        "moves.spade_to_cutter": _(
            "{zone}: {after_cm} cm of water instead of {before_cm} cm. It changes from the spade to the hand sickle or "
            "cane cutter, with chest waders and life jackets."
        ),
        "moves.dry_to_cutter": _(
            "{zone}: {after_cm} cm of water instead of dry ground. It changes from the spade to the hand sickle or "
            "cane cutter, with chest waders, life jackets and pairs."
        ),
        "moves.cutter_to_spade": _(
            "{zone}: {after_cm} cm of water instead of {before_cm} cm. It changes from the hand sickle or cane cutter "
            "to the spade, with boots, still in pairs."
        ),
        "moves.cutter_to_dry": _(
            "{zone}: dry ground instead of {before_cm} cm of water. It changes from the hand sickle or cane cutter to "
            "the spade."
        ),
        "moves.dry_to_shallow": _(
            "{zone}: {after_cm} cm of water instead of dry ground. Everyone there needs boots and a partner."
        ),
        "moves.shallow_to_dry": _("{zone}: dry ground instead of {before_cm} cm of water. It is land work now."),
        "moves.now_too_deep": _("{zone}: {after_cm} cm is deeper than anyone may wade. Nobody may enter it."),
        "moves.now_closed_by_current": _("{zone}: at {after_cm} cm the current closes it. Nobody may enter it."),
        "moves.now_open": _("{zone}: at {after_cm} cm it is open again; at {before_cm} cm it was closed."),
        "moves.season_closed": _("The calendar of the site closes this day now."),
        "moves.season_water_closed": _("The calendar of the site closes this day to work in water now."),
        # trade.weather
        "weather.unknown": _("No forecast is known: look at one before the day, for heat, cold, wind and water."),
        "weather.air_unknown": _("The air temperature is unknown."),
        "weather.humidity_unknown": _("The humidity is unknown, so there is no heat index."),
        "weather.heat_lower": _(
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Drink before you are thirsty."
        ),
        "weather.heat_moderate": _(
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Remind people to drink, and "
            "rest often."
        ),
        "weather.heat_high": _(
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Shorten the work, watch each "
            "other for signs of heat illness, and think of another day."
        ),
        "weather.heat_very_high": _(
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. This is no day for hard work: "
            "move it."
        ),
        "weather.heat_past_charts": _(
            "Air of {temp_c} °C at {rh_percent} % humidity is past the printed charts of the heat index, so no number "
            "is claimed. Treat it as extreme danger: this is no day for work, move it."
        ),
        "weather.shade": _("{temp_c} °C: offer shade."),
        "weather.rest": _(
            "In this heat everyone rests at least {minutes} minutes in each {hours} hours, in the shade."
        ),
        "weather.cool_wind": _("The wind makes it feel like {chill_c} °C: bring warm, dry clothes."),
        "weather.cold_wind": _("The wind makes it feel like {chill_c} °C ({band}): warm, dry clothes, short spells."),
        "weather.water_unknown": _("The water temperature is unknown: measure it before anyone goes in."),
        "weather.cold_shock": _(
            "Water of {water_c} °C is at or below {limit_c} °C: cold shock can drown a person within minutes. Life "
            "jackets closed, insulation under waders, somebody watching."
        ),
        "weather.cold_water": _(
            "Water of {water_c} °C is cold water (below {limit_c} °C): insulation under waders, short spells."
        ),
        # trade.felt
        "felt.heat_unknown": _("No heat index: it needs air temperature and humidity."),
        "felt.heat_mild": _("Below {limit_c} °C the heat index is not used: heat is not what to mind most."),
        "felt.heat": _("Heat index in the shade, from air of {temp_c} °C at {rh_percent} % humidity."),
        "felt.humidex_unknown": _(
            "No humidex: it needs air temperature and humidity, from which the dew point follows."
        ),
        "felt.humidex_dry": _("No humidex: air with next to no moisture has no dew point to go by."),
        "felt.humidex_cool": _("No humidex: it is given for air of {limit_c} °C and more."),
        "felt.humidex": _("Humidex from air of {temp_c} °C with its dew point at {dew_point_c} °C."),
        "felt.chill_unknown": _("No wind chill: it needs air temperature and wind."),
        "felt.chill_warm": _("No wind chill: it is defined for air of {limit_c} °C and less."),
        "felt.chill_calm": _("No wind chill: it is defined for wind of {limit_km_h} km/h and more."),
        "felt.chill": _("Wind chill from air of {temp_c} °C in wind of {wind_km_h} km/h."),
        # trade.drinking_water, trade.work_rest
        "drinking_water.rate": _("{litres} L of drinking water an hour for each of {people} people over {hours} h."),
        "drinking_water.ceiling": _("{asked} L an hour is too much to drink: at most {litres} L."),
        "work_rest.normal": _("Normal spells of {effort} work."),
        "work_rest.rest": _("In each hour {work} minutes of {effort} work and {rest} minutes of rest."),
        "work_rest.stop": _("Too hot for {effort} work."),
        # trade.daylight; times are the site's
        "daylight.within": _("Within daylight."),
        "daylight.before_sunrise": _("Starts before sunrise at {sunrise}."),
        "daylight.after_sunset": _("Ends after sunset at {sunset}."),
        "daylight.up_all_day": _("The sun does not set on this day."),
        "daylight.down_all_day": _("The sun does not rise on this day."),
    }
)
