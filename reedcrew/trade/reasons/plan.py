"""Sentences of a plan: hard rules, goals, roles, pins, remedies, what-ifs, and what people were told."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

PLAN_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # Hard rules of a plan (design: H1 to H11).
        # trade.pairing. ``who`` and ``other`` are people's ids and ``zone`` a zone's name.
        "H1": _("Nobody works in water alone."),
        "H1.trio": _("A unit of three, the only one of the plan, so that one more person can work in water."),
        "H1.no_partner": _("Nobody on the roster may be in a unit with {who} in a zone that both may enter."),
        "H1.left_over": _(
            "Nobody is left to be in a unit with {who}: the most people in water are in units without them."
        ),
        "H2.experienced": _("{who} is an adult; earlier water days: {days}."),
        "H2.lead": _("{who} is a trained lead."),
        "H2.no_partner": _(
            "{who} needs an adult partner with enough earlier water days (at least {days}), or a trained lead, and "
            "none on the roster may be in a unit with them."
        ),
        "H3.guardian": _("{who} is under 18 and works beside their own guardian, {other}."),
        "H3.depth": _("{who} is under 18, and no open zone is at most {limit_cm} cm deep."),
        "H3.no_guardian": _("{who} is under 18 and has no guardian on record."),
        "H3.guardian_absent": _("{who} is under 18 and their guardian is not on the roster."),
        "H3.guardian_ashore": _(
            "{who} is under 18 and their guardian, {other}, may not enter the water that {who} may."
        ),
        "H3.guardian_elsewhere": _("{who} is under 18 and may only be in water beside their guardian, {other}."),
        "H4": _("{who} is not signed up as willing and able to work in water."),
        "H5.boot_unknown": _("The boot size of {who} is unknown, so no chest waders are known to fit."),
        "H5.waders": _("No chest waders in stock fit boot size {boot_eu}: they would be labelled {labels}."),
        "H5.waders_taken": _("All chest waders that fit {who} are given to others."),
        "H5.mass_unknown": _("No life jacket class is known for {who}: their body mass is unknown or too low for any."),
        "H5.jacket": _("No life jacket of class {size} is in stock."),
        "H5.jackets_taken": _("All life jackets of class {size} are given to others."),
        "H5.footwear": _(
            "{who} brings no boots or water shoes for shallow water, and none in stock fit: they would be labelled "
            "{labels}."
        ),
        "H5.footwear_unknown": _(
            "{who} brings no boots or water shoes for shallow water, and without a boot size none are known to fit."
        ),
        "H5.footwear_taken": _(
            "All boots that fit {who} are given to others, and nobody is barefoot in shallow water."
        ),
        "H6.within": _(
            "{depth_cm} cm of water is within everyone's wading limit here, the least of which is {limit_cm} cm."
        ),
        "H6.depth": _(
            "The shallowest open water, {depth_cm} cm, is deeper than the wading limit of {who}, {limit_cm} cm."
        ),
        "H6.stature_unknown": _("The stature of {who} is unknown, and with it how deep they may wade."),
        "H6.zone": _("{depth_cm} cm is deeper than anyone may wade: {limit_cm} cm."),
        "H9.closed": _("{zone} takes no units."),
        "H9.full": _("Every place in the zones that {who} may enter is taken."),
        "H9.no_zone": _("No zone with water is open today."),
        "H10.spotter": _(
            "{who} watches {zone} from the shore, one adult for each started {every} units. Units at work "
            "there: {units}."
        ),
        "H10.no_first_aider": _("No adult first-aider is on the roster, so nobody works in water."),
        "H10.no_spotter": _("No adult is left to watch another unit from the shore."),
        "H11.shared": _("They share a language: {language}."),
        "H11.unknown": _("The languages of {who} are unknown, so nobody is known to share one."),
        "H11.no_partner": _("Nobody who may enter the same water speaks a language with {who}."),
        "goal.wish": _("{who} wished to work with {other}."),
        "goal.unseasoned": _("Nobody here has {days} or more earlier water days."),
        "goal.repeat": _("{who} and {other} were partners in the last three days."),
        "role.first_aider": _("{who} is a first-aider and stays on shore, free to help."),
        "role.sign_in": _("{who} keeps the sign-in desk."),
        "role.hauler": _("{who} hauls cut reed away from the shore."),
        "role.hauler_minor": _("{who} is under 18 and hauls: no blades and no post of their own. Guardian: {other}."),
        "role.spade_crew": _("{who} cuts with a spade on dry land in {zone}."),
        "role.no_work": _("There is no work on shore today: no zone is worked."),
        # trade.pairing.pin_rules: pins of an organizer that cannot be kept, by the rule they would break.
        "H1.pin_too_many": _("A unit has two people, or once in a plan three: {who} is pinned to {count} others."),
        "H1.pin_spade": _("{zone} has water, so it is worked in units, not by a spade crew."),
        "H1.pin_no_partner": _("Nobody may be in a unit with {who} in {zone}."),
        "H2.pin": _("Neither {who} nor {other} is an adult with earlier water days or a trained lead."),
        "H3.pin": _("{who} is under 18 and may only be in a unit with their own guardian."),
        "H3.pin_role": _("{who} is under 18: on shore they only haul, and only while their guardian is on the roster."),
        "H3.pin_depth": _("{who} is under 18, and {zone} is deeper than {limit_cm} cm."),
        "H5.pin": _("No gear that fits is there for {who} in {zone}."),
        "H6.pin": _("{depth_cm} cm in {zone} is deeper than the wading limit of {who}, {limit_cm} cm."),
        "H6.pin_pair": _("No open zone may be entered by both {who} and {other}."),
        "H8.pin": _("{who} and {other} are to be kept apart."),
        "H9.pin_zone": _("{zone} is closed today."),
        "H10.pin_first_aider": _("{who} is no adult first-aider."),
        "H11.pin": _("{who} and {other} share no language."),
        "H1.pins": _("A unit has two people, or once in a plan three. These pins ask for more."),
        "H2.pins": _("These pins leave a unit without an adult with earlier water days or a trained lead."),
        "H3.pins": _("These pins part a person under 18 in water from their guardian."),
        "H5.pins": _("There are not enough sets that fit to keep these pins."),
        "H9.pins": _("The zones have no room for the units that these pins ask for."),
        "H10.pins": _("These pins leave too few adults to watch from the shore."),
        "pins.dry": _("{zone} is dry land: nobody is in water there. Pin the spade crew instead."),
        "pins.no_land": _("{zone} is not dry land that is open today."),
        "pins.zones_worked": _("No zone is worked, so there is no role on shore."),
        "pins.alone": _("No plan can keep this pin beside the hard rules."),
        "pins.jointly": _("Each of these pins could be kept, but no plan can keep them all: take one of them away."),
        "pins.not_found": _("The search ended before it found a plan that keeps all pins: take some of them away."),
        "pin.not_water": _("An organizer pinned {who} to stay out of the water."),
        "pin.role": _("An organizer pinned {who} to this role."),
        "pin.pair": _("An organizer pinned {who} and {other} together."),
        "pin.zone": _("An organizer pinned {who} to {zone}."),
        "pin.no_role": _("An organizer pinned {who} out of the roles that are left."),
        "told.kept": _("{who} keeps what they were told."),
        "told.changed": _("People who must be told something new: {count}."),
        # trade.pairing.remedies: single changes that would let somebody in.
        "remedy.first_aider": _("One adult first-aider on the roster."),
        "remedy.answer": _("{who} tells what is not known of them: with usual sizes they could go in."),
        "remedy.waders": _("One pair of chest waders in {size}."),
        "remedy.jacket": _("One life jacket of class {size}."),
        "remedy.boots": _("One pair of boots in {size}."),
        "remedy.guardian": _("The guardian of {who} in the unit, ready for water."),
        "remedy.room": _("One more unit in {zone}."),
        "remedy.spotter": _("One adult more to watch from the shore."),
        "remedy.partner": _("One adult more for water who has been in it before."),
        "remedy.partner_language": _("One adult more for water who has been in it before and speaks {language}."),
        "remedy.current": _("Measure the current in {zone}: in still water it would be open."),
        "remedy.water": _("Water in {zone} lower by {by_cm} cm."),
        # trade.what_if
        "what_if.people_in_water": _("People in water: {before} before, {after} then."),
        "what_if.wishes": _("Wishes honoured: {before} before, {after} then."),
        "what_if.unseasoned": _("Units without anybody seasoned: {before} before, {after} then."),
        "what_if.repeats": _("Pairs repeated from the last three days: {before} before, {after} then."),
        "what_if.mismatch": _("Levels between people's stature and their depth: {before} before, {after} then."),
        "what_if.to_unit": _("{who} would be in {zone} with {other}."),
        "what_if.to_trio": _("{who} would be in {zone} in a unit of three with {other} and {third}."),
        "what_if.to_role": _("{who} would be on shore: {role}."),
        "what_if.to_role_at": _("{who} would be on shore: {role} at {zone}."),
        "what_if.to_nothing": _("There would be nothing to do for {who}."),
        "what_if.gone": _("{who} would not be there."),
        "what_if.short": _("Short of {item}: {before} before, {after} then."),
        "what_if.short_of_size": _("Short of {item}, size {size}: {before} before, {after} then."),
        "what_if.closed": _("{zone} would be closed."),
        "what_if.opened": _("{zone} would be open."),
        # Why what people were told stands no longer (crews.standing).
        "told.gone": _("{who} is not expected any more."),
        "told.stand_protected": _("The stand is not confirmed as the introduced reed any more: nobody cuts there."),
        "told.not_here": _("{who} may not enter {zone} as deep as it is today."),
        "told.not_together": _("They may not be in one unit any more."),
        "told.zone_gone": _("The zone is not worked on this day any more."),
        "told.room": _("Units that {zone} takes today: {most}; told to work there: {units}."),
        "told.unwatched": _("People needed to watch {zone} from the shore: {needed}; left: {watching}."),
        "told.gear": _("{item} {size}: {promised} were promised, and {there} can be had: in stock, clean and dry."),
        "input.unknown_field": _("{where} is no field of the plan contract and was left aside."),
        "plan.not_proven": _("A better plan may exist: the search stopped before it could rule that out."),
        # trade.water: currents (H7)
        "H7.unknown": _("The current is unknown, so nobody enters the water."),
        "H7": _("Depth × current is {product_m2_s} m²/s; the zone is open only under {limit_m2_s} m²/s."),
    }
)
