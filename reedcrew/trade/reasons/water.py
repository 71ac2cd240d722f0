"""Sentences about water, the cut it asks for, weather and daylight."""

from collections.abc import Mapping
from types import MappingProxyType

WATER_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # trade.water
        "water.no_gauge": "Depth is {depth_cm} cm as surveyed: there is no gauge to correct it by.",
        "water.no_gauge_at_survey": "Depth is {depth_cm} cm as surveyed: the gauge was not read at the survey.",
        "water.no_gauge_today": "Depth is {depth_cm} cm as surveyed: the gauge was not read today.",
        "water.gauge_replaced": (
            "Depth is {depth_cm} cm as surveyed: the gauge was replaced or set anew since, and levels of two gauges "
            "cannot be compared. Survey the depth again."
        ),
        "water.depth_by_gauge": (
            "Depth today is {depth_cm} cm: {surveyed_cm} cm surveyed, with the gauge at {at_survey_cm} cm then and "
            "{today_cm} cm today."
        ),
        "water.wading_open": "Depth × current is {product_m2_s} m²/s, under the limit of {limit_m2_s} m²/s.",
        # trade.method
        "method.cut_at_bed": (
            "{depth_cm} cm of water is over {limit_cm} cm: cut as near the bed as possible with a hand sickle or a "
            "long-handled cane cutter."
        ),
        "method.spade_at_base": (
            "{depth_cm} cm of water is not over {limit_cm} cm: set a sharpened spade at about 45° to the base of the "
            "stem and disturb as little soil as possible."
        ),
        "wear.water_work": (
            "{depth_cm} cm of water is over {limit_cm} cm: chest waders, a life jacket, gloves and eye protection, "
            "in pairs."
        ),
        "wear.shallow": (
            "{depth_cm} cm of water: rubber boots or water shoes, never bare feet, for old stubs are sharp; gloves and "
            "eye protection; still in pairs."
        ),
        "wear.dry": "On dry land: sturdy closed shoes, gloves and eye protection.",
        # trade.moves
        "moves.spade_to_cutter": (
            "{zone}: {after_cm} cm of water instead of {before_cm} cm. It changes from the spade to the hand sickle or "
            "cane cutter, with chest waders and life jackets."
        ),
        "moves.dry_to_cutter": (
            "{zone}: {after_cm} cm of water instead of dry ground. It changes from the spade to the hand sickle or "
            "cane cutter, with chest waders, life jackets and pairs."
        ),
        "moves.cutter_to_spade": (
            "{zone}: {after_cm} cm of water instead of {before_cm} cm. It changes from the hand sickle or cane cutter "
            "to the spade, with boots, still in pairs."
        ),
        "moves.cutter_to_dry": (
            "{zone}: dry ground instead of {before_cm} cm of water. It changes from the hand sickle or cane cutter to "
            "the spade."
        ),
        "moves.dry_to_shallow": (
            "{zone}: {after_cm} cm of water instead of dry ground. Everyone there needs boots and a partner."
        ),
        "moves.shallow_to_dry": "{zone}: dry ground instead of {before_cm} cm of water. It is land work now.",
        "moves.now_too_deep": "{zone}: {after_cm} cm is deeper than anyone may wade. Nobody may enter it.",
        "moves.now_closed_by_current": "{zone}: at {after_cm} cm the current closes it. Nobody may enter it.",
        "moves.now_open": "{zone}: at {after_cm} cm it is open again; at {before_cm} cm it was closed.",
        "moves.season_closed": "The calendar of the site closes this day now.",
        "moves.season_water_closed": "The calendar of the site closes this day to work in water now.",
        # trade.weather
        "weather.unknown": "No forecast is known: look at one before the day, for heat, cold, wind and water.",
        "weather.air_unknown": "The air temperature is unknown.",
        "weather.humidity_unknown": "The humidity is unknown, so there is no heat index.",
        "weather.heat_lower": (
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Drink before you are thirsty."
        ),
        "weather.heat_moderate": (
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Remind people to drink, and "
            "rest often."
        ),
        "weather.heat_high": (
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. Shorten the work, watch each "
            "other for signs of heat illness, and think of another day."
        ),
        "weather.heat_very_high": (
            "Heat index {index_c} °C in the shade; full sun can add {sun_adds_c} °C. This is no day for hard work: "
            "move it."
        ),
        "weather.heat_past_charts": (
            "Air of {temp_c} °C at {rh_percent} % humidity is past the printed charts of the heat index, so no number "
            "is claimed. Treat it as extreme danger: this is no day for work, move it."
        ),
        "weather.shade": "{temp_c} °C: offer shade.",
        "weather.rest": "In this heat everyone rests at least {minutes} minutes in each {hours} hours, in the shade.",
        "weather.cool_wind": "The wind makes it feel like {chill_c} °C: bring warm, dry clothes.",
        "weather.cold_wind": "The wind makes it feel like {chill_c} °C ({band}): warm, dry clothes, short spells.",
        "weather.water_unknown": "The water temperature is unknown: measure it before anyone goes in.",
        "weather.cold_shock": (
            "Water of {water_c} °C is at or below {limit_c} °C: cold shock can drown a person within minutes. Life "
            "jackets closed, insulation under waders, somebody watching."
        ),
        "weather.cold_water": (
            "Water of {water_c} °C is cold water (below {limit_c} °C): insulation under waders, short spells."
        ),
        # trade.felt
        "felt.heat_unknown": "No heat index: it needs air temperature and humidity.",
        "felt.heat_mild": "Below {limit_c} °C the heat index is not used: heat is not what to mind most.",
        "felt.heat": "Heat index in the shade, from air of {temp_c} °C at {rh_percent} % humidity.",
        "felt.humidex_unknown": "No humidex: it needs air temperature and humidity, from which the dew point follows.",
        "felt.humidex_dry": "No humidex: air with next to no moisture has no dew point to go by.",
        "felt.humidex_cool": "No humidex: it is given for air of {limit_c} °C and more.",
        "felt.humidex": "Humidex from air of {temp_c} °C with its dew point at {dew_point_c} °C.",
        "felt.chill_unknown": "No wind chill: it needs air temperature and wind.",
        "felt.chill_warm": "No wind chill: it is defined for air of {limit_c} °C and less.",
        "felt.chill_calm": "No wind chill: it is defined for wind of {limit_km_h} km/h and more.",
        "felt.chill": "Wind chill from air of {temp_c} °C in wind of {wind_km_h} km/h.",
        # trade.drinking_water, trade.work_rest
        "drinking_water.rate": "{litres} L of drinking water an hour for each of {people} people over {hours} h.",
        "drinking_water.ceiling": "{asked} L an hour is too much to drink: at most {litres} L.",
        "work_rest.normal": "Normal spells of {effort} work.",
        "work_rest.rest": "In each hour {work} minutes of {effort} work and {rest} minutes of rest.",
        "work_rest.stop": "Too hot for {effort} work.",
        # trade.daylight; times are the site's
        "daylight.within": "Within daylight.",
        "daylight.before_sunrise": "Starts before sunrise at {sunrise}.",
        "daylight.after_sunset": "Ends after sunset at {sunset}.",
        "daylight.up_all_day": "The sun does not set on this day.",
        "daylight.down_all_day": "The sun does not rise on this day.",
    }
)
