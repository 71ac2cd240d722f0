"""Why a rule answered as it did: a code for machines, the deciding values, a sentence for people."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from reedcrew.trade.field_reasons import FIELD_SENTENCES
from reedcrew.trade.identification_reasons import IDENTIFICATION_SENTENCES

Value = str | int | float

# One sentence a code, in English, with named places for the values. Pages translate it before they fill it in;
# see ``web.templatetags``. Grouped by the module that gives the code.
SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # Hard rules of a plan (design: H1 to H11).
        # trade.pairing. ``who`` and ``other`` are people's ids and ``zone`` a zone's name.
        "H1": "Nobody works in water alone.",
        "H1.trio": "A unit of three, the only one of the plan, so that one more person can work in water.",
        "H1.no_partner": "Nobody on the roster may be in a unit with {who} in a zone that both may enter.",
        "H1.left_over": (
            "Nobody is left to be in a unit with {who}: the most people in water are in units without them."
        ),
        "H2.experienced": "{who} is an adult with {days} earlier water days.",
        "H2.lead": "{who} is a trained lead.",
        "H2.no_partner": (
            "{who} needs an adult partner with at least {days} earlier water days, or a trained lead, and none on the "
            "roster may be in a unit with them."
        ),
        "H3.guardian": "{who} is under 18 and works beside their own guardian, {other}.",
        "H3.depth": "{who} is under 18, and no open zone is at most {limit_cm} cm deep.",
        "H3.no_guardian": "{who} is under 18 and has no guardian on record.",
        "H3.guardian_absent": "{who} is under 18 and their guardian is not on the roster.",
        "H3.guardian_ashore": "{who} is under 18 and their guardian, {other}, may not enter the water that {who} may.",
        "H3.guardian_elsewhere": "{who} is under 18 and may only be in water beside their guardian, {other}.",
        "H4": "{who} is not signed up as willing and able to work in water.",
        "H5.boot_unknown": "The boot size of {who} is unknown, so no chest waders are known to fit.",
        "H5.waders": "No chest waders in stock fit boot size {boot_eu}: they would be labelled {labels}.",
        "H5.waders_taken": "All chest waders that fit {who} are given to others.",
        "H5.mass_unknown": "No life jacket class is known for {who}: their body mass is unknown or too low for any.",
        "H5.jacket": "No life jacket of class {size} is in stock.",
        "H5.jackets_taken": "All life jackets of class {size} are given to others.",
        "H5.footwear": (
            "{who} brings no boots or water shoes for shallow water, and none in stock fit: they would be labelled "
            "{labels}."
        ),
        "H5.footwear_unknown": (
            "{who} brings no boots or water shoes for shallow water, and without a boot size none are known to fit."
        ),
        "H5.footwear_taken": "All boots that fit {who} are given to others, and nobody is barefoot in shallow water.",
        "H6.within": (
            "{depth_cm} cm of water is within everyone's wading limit here, the least of which is {limit_cm} cm."
        ),
        "H6.depth": (
            "The shallowest open water, {depth_cm} cm, is deeper than the wading limit of {who}, {limit_cm} cm."
        ),
        "H6.stature_unknown": "The stature of {who} is unknown, and with it how deep they may wade.",
        "H6.zone": "{depth_cm} cm is deeper than anyone may wade: {limit_cm} cm.",
        "H9.closed": "{zone} takes no units.",
        "H9.full": "Every place in the zones that {who} may enter is taken.",
        "H9.no_zone": "No zone with water is open today.",
        "H10.spotter": (
            "{who} watches {zone} from the shore, where {units} units work: one adult for each started {every} units."
        ),
        "H10.no_first_aider": "No adult first-aider is on the roster, so nobody works in water.",
        "H10.no_spotter": "No adult is left to watch another unit from the shore.",
        "H11.shared": "They share a language: {language}.",
        "H11.unknown": "The languages of {who} are unknown, so nobody is known to share one.",
        "H11.no_partner": "Nobody who may enter the same water speaks a language with {who}.",
        "goal.wish": "{who} wished to work with {other}.",
        "goal.unseasoned": "Nobody here has {days} or more earlier water days.",
        "goal.repeat": "{who} and {other} were partners in the last three days.",
        "role.first_aider": "{who} is a first-aider and stays on shore, free to help.",
        "role.sign_in": "{who} keeps the sign-in desk.",
        "role.hauler": "{who} hauls cut reed away from the shore.",
        "role.hauler_minor": "{who} is under 18 and hauls: no blades and no post of their own. Guardian: {other}.",
        "role.spade_crew": "{who} cuts with a spade on dry land in {zone}.",
        "role.no_work": "There is no work on shore today: no zone is worked.",
        # trade.pairing.pin_rules: pins of an organizer that cannot be kept, by the rule they would break.
        "H1.pin_too_many": "A unit has two people, or once in a plan three: {who} is pinned to {count} others.",
        "H1.pin_spade": "{zone} has water, so it is worked in units, not by a spade crew.",
        "H1.pin_no_partner": "Nobody may be in a unit with {who} in {zone}.",
        "H2.pin": "Neither {who} nor {other} is an adult with earlier water days or a trained lead.",
        "H3.pin": "{who} is under 18 and may only be in a unit with their own guardian.",
        "H3.pin_role": "{who} is under 18: on shore they only haul, and only while their guardian is on the roster.",
        "H3.pin_depth": "{who} is under 18, and {zone} is deeper than {limit_cm} cm.",
        "H5.pin": "No gear that fits is there for {who} in {zone}.",
        "H6.pin": "{depth_cm} cm in {zone} is deeper than the wading limit of {who}, {limit_cm} cm.",
        "H6.pin_pair": "No open zone may be entered by both {who} and {other}.",
        "H8.pin": "{who} and {other} are to be kept apart.",
        "H9.pin_zone": "{zone} is closed today.",
        "H10.pin_first_aider": "{who} is no adult first-aider.",
        "H11.pin": "{who} and {other} share no language.",
        "H1.pins": "A unit has two people, or once in a plan three. These pins ask for more.",
        "H2.pins": "These pins leave a unit without an adult with earlier water days or a trained lead.",
        "H3.pins": "These pins part a person under 18 in water from their guardian.",
        "H5.pins": "There are not enough sets that fit to keep these pins.",
        "H9.pins": "The zones have no room for the units that these pins ask for.",
        "H10.pins": "These pins leave too few adults to watch from the shore.",
        "pins.dry": "{zone} is dry land: nobody is in water there. Pin the spade crew instead.",
        "pins.no_land": "{zone} is not dry land that is open today.",
        "pins.zones_worked": "No zone is worked, so there is no role on shore.",
        "pins.alone": "No plan can keep this pin beside the hard rules.",
        "pins.jointly": "Each of these pins could be kept, but no plan can keep them all: take one of them away.",
        "pins.not_found": "The search ended before it found a plan that keeps all pins: take some of them away.",
        "pin.not_water": "An organizer pinned {who} to stay out of the water.",
        "pin.role": "An organizer pinned {who} to this role.",
        "pin.pair": "An organizer pinned {who} and {other} together.",
        "pin.zone": "An organizer pinned {who} to {zone}.",
        "pin.no_role": "An organizer pinned {who} out of the roles that are left.",
        "told.kept": "{who} keeps what they were told.",
        "told.changed": "People who must be told something new: {count}.",
        # trade.pairing.remedies: single changes that would let somebody in.
        "remedy.first_aider": "One adult first-aider on the roster.",
        "remedy.answer": "{who} tells what is not known of them: with usual sizes they could go in.",
        "remedy.waders": "One pair of chest waders in {size}.",
        "remedy.jacket": "One life jacket of class {size}.",
        "remedy.boots": "One pair of boots in {size}.",
        "remedy.guardian": "The guardian of {who} in the unit, ready for water.",
        "remedy.room": "One more unit in {zone}.",
        "remedy.spotter": "One adult more to watch from the shore.",
        "remedy.partner": "One adult more for water who has been in it before.",
        "remedy.partner_language": "One adult more for water who has been in it before and speaks {language}.",
        "remedy.current": "Measure the current in {zone}: in still water it would be open.",
        "remedy.water": "Water in {zone} lower by {by_cm} cm.",
        # trade.what_if
        "what_if.people_in_water": "People in water: {before} before, {after} then.",
        "what_if.wishes": "Wishes honoured: {before} before, {after} then.",
        "what_if.unseasoned": "Units without anybody seasoned: {before} before, {after} then.",
        "what_if.repeats": "Pairs repeated from the last three days: {before} before, {after} then.",
        "what_if.mismatch": "Levels between people's stature and their depth: {before} before, {after} then.",
        "what_if.to_unit": "{who} would be in {zone} with {other}.",
        "what_if.to_trio": "{who} would be in {zone} in a unit of three with {other} and {third}.",
        "what_if.to_role": "{who} would be on shore: {role}.",
        "what_if.to_role_at": "{who} would be on shore: {role} at {zone}.",
        "what_if.to_nothing": "There would be nothing to do for {who}.",
        "what_if.gone": "{who} would not be there.",
        "what_if.short": "Short of {item}: {before} before, {after} then.",
        "what_if.short_of_size": "Short of {item}, size {size}: {before} before, {after} then.",
        "what_if.closed": "{zone} would be closed.",
        "what_if.opened": "{zone} would be open.",
        # Why what people were told stands no longer (crews.standing).
        "told.gone": "{who} is not expected any more.",
        "told.stand_protected": "The stand is not confirmed as the introduced reed any more: nobody cuts there.",
        "told.not_here": "{who} may not enter {zone} as deep as it is today.",
        "told.not_together": "They may not be in one unit any more.",
        "told.zone_gone": "The zone is not worked on this day any more.",
        "told.room": "{zone} takes {most} units today, and {units} were told to work there.",
        "told.unwatched": "{zone} needs {needed} people who watch from the shore, and {watching} are left.",
        "told.gear": "{item} {size}: {promised} were promised, and {there} can be had: in stock, clean and dry.",
        "input.unknown_field": "{where} is no field of the plan contract and was left aside.",
        "plan.not_proven": "A better plan may exist: the search stopped before it could rule that out.",
        "H7.unknown": "The current is unknown, so nobody enters the water.",
        "H7": "Depth × current is {product_m2_s} m²/s; the zone is open only under {limit_m2_s} m²/s.",
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
        # trade.season; days are written month-day
        "season.open": "Inside the permitted weeks, {opens} to {closes}.",
        "season.first_week": (
            "The first week of the permitted days: birds may still nest and fish may still spawn here."
        ),
        "season.last_week": "The last week of the permitted days: the plant is ceasing to move reserves.",
        "season.nesting": "Until {until} birds may be nesting: check for active nests before cutting.",
        "season.outside": "Outside the permitted weeks, {opens} to {closes}, which are common practice.",
        "season.outside_by": "Outside the permitted weeks, {opens} to {closes}, set by {authority}.",
        "season.forbidden": "Work is forbidden from {opens} to {closes} by {issuer}.",
        "season.not_permitted": "Work is permitted only from {opens} to {closes} by {issuer}.",
        "season.forbidden_in_water": (
            "Work in water is forbidden from {opens} to {closes} by {issuer}; dry zones may be worked."
        ),
        "season.not_permitted_in_water": (
            "Work in water is permitted only from {opens} to {closes} by {issuer}; dry zones may be worked."
        ),
        "season.advice_against": "{issuer} asks for special care from {opens} to {closes}: read the notice.",
        "season.advice_only": "{issuer} advises to work only from {opens} to {closes}: read the notice.",
        # trade.outline; positions are written [longitude, latitude]
        "outline.long": "The text is longer than {limit} characters. Paste one outline alone.",
        "outline.not_json": (
            "This is neither GeoJSON nor a list of corners. Give one corner a line as latitude, longitude, or paste a "
            "GeoJSON polygon, beginning with {{ and ending with }}."
        ),
        "outline.features": (
            "The collection has {count} features. It must have exactly one, a Polygon or MultiPolygon."
        ),
        "outline.not_polygon": "The geometry is of type {kind}. It must be a Polygon or MultiPolygon.",
        "outline.empty": "The polygon has no coordinates. It must have a list of rings, each a list of positions.",
        "outline.short": (
            "A ring has {count} positions. It needs at least {least}, of which the last repeats the first."
        ),
        "outline.open": "A ring starts at {first} and ends at {last}. It must end where it starts.",
        "outline.position": "{position} is no position. A position is [longitude, latitude] in decimal degrees.",
        "outline.out_of_range": (
            "{position} is not on the map: longitude, given first, is from -180 to 180 and latitude from -90 to 90."
        ),
        "outline.swapped": (
            "Longitude and latitude seem to be swapped at {position}: the other way round the outline lies at the "
            "site. GeoJSON gives longitude first."
        ),
        "outline.far": (
            "{position} lies {away_km} km from the site. An outline stays within {limit_km} km: check the positions "
            "here and those of the site."
        ),
        "outline.parts": "Two parts of the outline overlap near {position}. Draw them as one, or apart.",
        "outline.flat": (
            "The outline encloses less than {least} m². Give at least three corners that do not lie on one line."
        ),
        "outline.crosses_itself": "The outline crosses or touches itself at {position}. Draw it without a crossing.",
        "outline.holes": (
            "Near {position} a ring crosses itself or a hole reaches out of the outline or into another hole."
        ),
        "outline.outside": (
            "The zone {name} lies wholly outside the outline of its stand. One of the two is of another place: draw it "
            "anew, or choose the stand it belongs to."
        ),
        "outline.partly_outside": (
            "{area_m2} m² of the zone {name}, {percent} % of it, lie outside the outline of its stand."
        ),
        "outline.overlaps": (
            "The zones {name} and {other} overlap by {area_m2} m². Stems there count twice: draw one of them anew."
        ),
        # trade.outline; corners are written latitude, longitude
        "corners.line": (
            "Line {line}, “{text}”, is no corner. Give latitude and longitude in decimal degrees, such as "
            "44.251934, -76.502218."
        ),
        "corners.short": "There are {count} corners. An outline needs at least {least}, one a line.",
        "corners.out_of_range": (
            "{position} is not on the map: latitude, given first, is from -90 to 90 and longitude from -180 to 180."
        ),
        "corners.swapped": (
            "Latitude and longitude seem to be swapped at {position}: the other way round the outline lies at the "
            "site. In a list of corners latitude comes first."
        ),
        **IDENTIFICATION_SENTENCES,
        **FIELD_SENTENCES,
        # trade.treatment
        "treatment.not_begun": (
            "Cutting has not begun here. Expect several years of it: a stand of reed does not go in one."
        ),
        "treatment.first_year": (
            "The first year of cutting. The stand will grow back next summer, thinner if the stubble stays under "
            "water: plan to come back. It takes several years."
        ),
        "treatment.later_year": (
            "Year {year} of cutting. Expect fewer stems where stubble stays under water, and regrowth from what is "
            "left: come back every year until no stem is seen for {clear_years} years."
        ),
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
        # trade.cleaning
        "cleaning.strength": (
            "Bleach of {percent} % is not the usual household strength of {low} to {high} %: read its label first."
        ),
        "cleaning.mud_first": "Brush and rinse off mud, seed and plant pieces first.",
        "cleaning.never_mix": "Plain, unscented bleach only; never mix it with ammonia, acids or any other cleaner.",
        "cleaning.protect": "Wear gloves and eye protection, and work in moving air.",
        "cleaning.contact": "Keep everything wet with the solution for at least {minutes} minutes.",
        "cleaning.fresh": "The solution is good for at most {hours} hours.",
        "cleaning.keep_out_of_water": "Keep the solution and the rinse water out of ponds, streams and drains to them.",
        "cleaning.dry": "Let gear dry for {days} days.",
        # trade.disposal
        "disposal.heads_present": "There are seed heads: all of it goes into thick bags.",
        "disposal.heads_possible": "Nobody looked for seed heads, and from {since} they may carry seed: bag all of it.",
        "disposal.no_heads": "No seed heads: it may be piled on dry ground, well above the water line.",
        "disposal.look_for_heads": (
            "Look for seed heads first: without them it may be piled on dry ground, well above the water line."
        ),
        "disposal.pieces_root": "Even a small piece can root: nothing stays in or beside the water.",
        "disposal.sun_days": (
            "Bags lie at least {days} days in direct sun. That is common practice without a source about reed; one "
            "to two months were seen for other plants."
        ),
        "disposal.burning": "Burn only where local bylaws allow it: ask the fire office.",
        "disposal.compost": "Do not compost it at home: such a heap does not stay hot enough.",
        # trade.first_aid
        "first_aid.by_heads": (
            "CSA Z1220 for {people} people: {kits} {size}, which is {small} small of type 3 (higher risk)."
        ),
        "first_aid.cutting_crew": "A crew with blades: one kit for each started {per_kit} people, so {kits}.",
        "first_aid.larger": "The larger of both: {count}.",
        "first_aid.appointed_person": "For {people} people: a person appointed to take charge of first aid.",
        "first_aid.first_aiders": "For {people} people working with blades or in water, first-aiders on site: {count}.",
        # trade.effort
        "effort.counted": "Counted stem by stem.",
        "effort.one_bundle": "{bundles} bundles of {mean} stems; one sampled bundle gives no interval.",
        "effort.sample": "{bundles} bundles of {mean} stems, the mean of {sampled} sampled; {percent} % interval.",
        "effort.rate": (
            "Rests on {hours} person-hours of records from {days} closed days, beside a starting rate worth "
            "{prior_hours} person-hours."
        ),
        "effort.rate_start": (
            "No record yet: the group's starting value of {rate} stems per person-hour (convention; no published rate "
            "exists)."
        ),
        "effort.dispersion": (
            "Days differ: the interval is {times} times as wide as if stems came at an even rate (convention)."
        ),
        "effort.left": (
            "Stems ÷ stems per person-hour, for a crew of {water} people cutting in water and {land} on dry land, "
            "{hours} h each; both sides are worked at the same time."
        ),
        "effort.hours_of_day": (
            "Hours are those of sign-in and sign-out on closed days. In water count the stays recorded in water. On "
            "land count the people whom the day's plan gave a spade; where it names none, everyone on shore, so that "
            "the rate is then that of a whole shore crew."
        ),
        "effort.stems_of_day": (
            "Stems are the tallies of closed days, struck-out ones left out. A zone counts as water when it was deeper "
            "than 0 cm in the day's plan, or at its survey where no plan was made."
        ),
        "effort.crew_usual": "The usual crew: medians of the last {days} closed days of this stand.",
        "effort.crew_of_group": "The usual crew: medians of the group's last {days} closed days; this stand has none.",
        "effort.crew_start": "No day is closed yet: told for a crew that is only a starting value (convention).",
        "effort.crew_asked": "For the crew that was asked for.",
        "effort.cut_since": "{stems} stems cut since the survey in this year are taken off.",
        "effort.old_survey": (
            "In part from a survey of an earlier year, {on}: what grew since is not known. Survey before the next day."
        ),
        "effort.no_crew_in_water": "Stems stand in water, and nobody of this crew cuts there.",
        "effort.no_crew_on_land": "Stems stand on dry land, and nobody of this crew cuts there.",
        "effort.stems_without_interval": (
            "Some stems come from an estimate without an interval, so the limits are narrower than they should be: "
            "survey with at least two quadrats a zone."
        ),
        "effort.implausible": "More than {limit} stems per person-hour is not plausible for live reed: check it.",
        # trade.sampling
        "sampling.t": (
            "Mean of {n} quadrats ÷ quadrat size; {percent} % interval by Student's t with {df} degrees of freedom. "
            "The zone's area is not known, so no finite correction is made."
        ),
        "sampling.t_finite": (
            "Mean of {n} quadrats ÷ quadrat size; {percent} % interval by Student's t with {df} degrees of freedom and "
            "the finite correction for {share} % of the area counted (Freese 1962)."
        ),
        "sampling.one": (
            "One quadrat only: it gives a number, but no interval is claimed. Count at least 2, better 5 or more."
        ),
        "sampling.all": "All of it was counted, in {n} quadrats: no uncertainty is left from sampling.",
        "sampling.covers_more": (
            "The quadrats cover more than the area of the zone, so no interval is claimed: check the quadrat size and "
            "the outline."
        ),
        "sampling.none_seen": (
            "No stem in {n} quadrats. Stems may still stand between them: the upper limit is the exact Poisson one "
            "({percent} %)."
        ),
        "sampling.no_spread": "All quadrats have the same count, so the interval is narrower than it should be.",
        "sampling.raised": "The lower limit is raised to the stems that were counted.",
        "sampling.dense": "More than {limit} stems/m² is hardly plausible: check the counts and the quadrat size.",
        "sampling.no_interval": "No interval is claimed for the total: one quadrat says nothing of scatter in {names}.",
        "sampling.stratified": (
            "Sum over {zones} zones of area × density; {percent} % interval by Student's t with {df} degrees of "
            "freedom (Satterthwaite), each zone with its finite correction."
        ),
        "sampling.summed": "Sum over {zones} zones; without scatter in the counts the limits are those of the zones.",
        "sampling.empty_zones": "The interval takes no account of stems that may stand unseen in {names}.",
        "sampling.ratio": "Ratio of two surveys with its {percent} % interval on the log scale.",
        "sampling.ratio_alone": (
            "Ratio of two surveys; no interval is claimed, because one of them has none or no stem was left."
        ),
        "sampling.spread": "Too few counts to say how the stems stand.",
        "sampling.clumped": (
            "The stems stand in clumps: the counts vary {index} times as much as at random. More quadrats help more "
            "than larger ones."
        ),
        "sampling.random": "The counts vary about as much as at random ({index} times).",
        "sampling.even": "The counts vary less than at random ({index} times): the stems stand evenly.",
        "sampling.size_proportional": (
            "{n} quadrats shared by area, at least 2 a zone: the fewest for which the {percent} % interval of the "
            "total should be as narrow as wanted (t, finite correction)."
        ),
        "sampling.size_neyman": (
            "{n} quadrats shared by area and scatter (Neyman), at least 2 a zone: the fewest for which the {percent} % "
            "interval of the total should be as narrow as wanted (t, finite correction)."
        ),
        "sampling.placed": (
            "Drawn by chance, evenly over the area, from the number {seed}: the same number gives the same places."
        ),
        "sampling.placed_fewer": (
            "Only {placed} of {wanted} positions found room so far apart: ask for fewer or a smaller distance."
        ),
        # stands.queries.stems
        "stems.typed": "Estimated by eye and typed in; no quadrat was counted here.",
        "stems.typed_without_area": (
            "Estimated by eye and typed in: quadrats were counted on {date}, but the zone has no outline, so there is "
            "no area to multiply the density by."
        ),
        "stems.surveyed": "Area of {area_m2} m² × {density} stems/m², from {n} quadrats of {quadrat_m2} m² on {date}.",
        # trade.decline; days are written year-month-day
        "decline.too_few": (
            "Too few: of the yearly surveys, {count} found stems. A decline takes at least {least}, in different "
            "years; three or more give better limits."
        ),
        "decline.clear": (
            "No stem was seen on {on}. Treat the stand as gone only after {years} clear years (convention)."
        ),
        "decline.below": (
            "Already at or below {stems} stems, {percent} % of the first survey, on {on}. Come back until no stem is "
            "seen for {years} years (convention)."
        ),
        "decline.not_declining": "Not declining: each year has {factor} times the stems of the year before.",
        "decline.year": (
            "At this pace at most {stems} stems, {percent} % of the first survey, are left in {year}. A line of the "
            "past is no promise: it holds while the work goes on as before."
        ),
        "decline.not_within": (
            "At this pace more than {stems} stems, {percent} % of the first survey, are left in {years} years."
        ),
        "decline.may_not": (
            "The limits do not rule out that it takes more than {years} years, or that it does not decline."
        ),
        "decline.line": (
            "Line through the logarithm of the stems of {count} surveys, one a year: each year has {factor} times the "
            "stems of the year before."
        ),
        "decline.limits_t": (
            "Weighted by the surveys' standard errors. 95 % limits by t (degrees of freedom: {freedom}) from the "
            "scatter around the line, and never narrower than by the standard errors."
        ),
        "decline.limits_t_unweighted": (
            "Not every survey has a standard error, so all weigh alike. 95 % limits by t (degrees of "
            "freedom: {freedom}) from the scatter around the line."
        ),
        "decline.limits_ratio": (
            "Two surveys only: 95 % limits are those of their ratio, by their standard errors (normal on the log "
            "scale). Whether the years differ in other ways they cannot show."
        ),
        "decline.no_limits": "Two surveys without standard errors: no interval can be claimed.",
        "decline.implausible": (
            "A yearly factor outside {low} to {high} is unusual (convention): check that the surveys cover the same "
            "ground at the same time of year."
        ),
        "decline.one_a_year": (
            "Left out: {left_out}. Of each year the first survey counts, before that year's cutting, and before the "
            "first cut only the last."
        ),
        "decline.zero_left_out": "A year without a stem between others is left out of the line.",
        "decline.seasons": (
            "The surveys lie up to {days} days apart in their years. An autumn beside a spring invents a decline or a "
            "rebound: survey in the same weeks each year."
        ),
        "decline.published_water": (
            "Cut under water and kept under: {low} to {high} % of the stems a year later in a published trial "
            "(Bickford and others 2026: 92 to 99 % fewer after two seasons)."
        ),
        "decline.published_land": (
            "Cut on land: {low} % of the stems the next spring when mown all season (Derr 2008), up to {high} % when "
            "cut once (Greet and Rees 2015; the upper end is a convention). Height and stoutness may fall instead."
        ),
        "decline.inside": "This stand, with {percent} %, is inside that range.",
        "decline.slower": "This stand, with {percent} %, declines slower than that.",
        "decline.faster": "This stand, with {percent} %, declines faster than that.",
        "decline.places": "Places differ: depth over the stubble, how often and when is cut, and how old the stand is.",
        # stands.queries.survey_plan
        "survey_plan.counts": "Mean and scatter from {n} quadrats counted on {date}.",
        "survey_plan.guess": (
            "Guessed: {least} to {most} stems in a quadrat, the range taken for four standard deviations (common "
            "practice, no source)."
        ),
        "survey_plan.no_area": "The zone has no outline, so its area is not known.",
        "survey_plan.no_counts": "No quadrat was counted here yet: guess the fewest and most stems of a quadrat.",
        "survey_plan.one_quadrat": "One quadrat says nothing of scatter: guess the fewest and most stems of a quadrat.",
        "survey_plan.other_size": (
            "Its last survey had quadrats of {quadrat_m2} m²: choose that size, or guess the fewest and most stems."
        ),
        # trade.daylight; times are the site's
        "daylight.within": "Within daylight.",
        "daylight.before_sunrise": "Starts before sunrise at {sunrise}.",
        "daylight.after_sunset": "Ends after sunset at {sunset}.",
        "daylight.up_all_day": "The sun does not set on this day.",
        "daylight.down_all_day": "The sun does not rise on this day.",
        # trade.gear
        "gear.chest_waders": "Chest waders for water work, from the boot size up to one size above (H5).",
        "gear.life_jacket": "A life jacket of the class for each water worker's body mass (H5).",
        "gear.would_go_in": "{people} more would go into water if there were gear for all of them.",
        "gear.boots": "Rubber boots or water shoes in water up to 30 cm: never bare feet.",
        "gear.gloves": "Gloves for everyone who cuts or hauls, by hand size.",
        "gear.size_unknown": "The size of {people} is unknown: ask before the day.",
        "gear.eye_protection": "Eye protection for everyone who cuts or hauls: stems stand at eye level.",
        "gear.whistle": "One whistle a water worker.",
        "gear.cutting_tool": (
            "One hand sickle or cane cutter for each of {workers} water workers, and {spares} spare: one for each "
            "started {every}."
        ),
        "gear.spade": (
            "One sharpened spade for each of {workers} land workers, and {spares} spare: one for each started {every}."
        ),
        "gear.stones": "One sharpening stone for each started {every} people who cut.",
        "gear.throw_line": "One throw line of at least {metres} m for each of {zones} zones of water work.",
        "gear.sled": "One sled or floating platform for each started {every} of {units} water units.",
        "gear.twine": "Twine to tie {stems} expected stems in bundles, in balls of {metres} m.",
        "gear.bags": "Thick bags for {stems} expected stems: all cut reed leaves the site or dries on dry ground.",
        "gear.bags_or_pile": "Before seed heads form fewer will do, where reed may be piled on dry ground.",
        "gear.heat_unknown": "The heat index is unknown: look at a forecast, hot days need more water.",
        "gear.sunscreen": "{millilitres} mL for each of {people} people, {times} times.",
        "gear.shade": "One shade for each started {every} people.",
        "gear.sign_in_sheet": "Paper sign-in sheets of {rows} rows, should the phones fail.",
        "gear.station": "{stations} cleaning stations, one for each started {every} people.",
        "gear.bleach": (
            "For {litres} L of solution at {target} mg/L from bleach of {percent} %: read the strength on the label "
            "and measure again for another."
        ),
        "gear.short": "Short of {item}: {short}.",
        "gear.short_of_size": "Short of {item}, size {size}: {short}.",
        "gear.short_of_litres": "Short of {item}: {short} L.",
        "first_aid.too_few": "First-aiders on the roster: {present}; suggested for this many people: {needed}.",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One reason of a result.

    ``code`` is a key of SENTENCES; ``values`` fill the sentence's named places. Raises KeyError at once for an unknown
    code or a missing value, so that no reason without words can leave a rule.
    """

    code: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __post_init__(self) -> None:
        SENTENCES[self.code].format(**self.values)

    @property
    def sentence(self) -> str:
        """The sentence with its places still open, for translating it before it is filled in."""
        return SENTENCES[self.code]

    @property
    def text(self) -> str:
        """The sentence in English, filled in."""
        return SENTENCES[self.code].format(**self.values)


def reason(code: str, **values: Value) -> Reason:
    """Short form of Reason for the rules that give many."""
    return Reason(code=code, values=values)
