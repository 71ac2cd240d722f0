"""Sentences of the day itself: the briefing, and units put together at the landing."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

DAY_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "briefing.pairs": _("Nobody is in water alone. Stay where your partner can reach you; come out together."),
        "briefing.jacket": _("The life jacket is on and closed before the first step, and stays on until dry ground."),
        "briefing.come_out": _("Cold, tired or unsure: come out. Nobody needs a reason to stay ashore."),
        "briefing.all_out": _(
            "Three blasts of a whistle: everybody out of the water at once, in pairs, and be counted."
        ),
        "briefing.stop": _("One long blast: stop, blades down, look at the spotter."),
        "briefing.well": _(
            "A hand laid on the head: I am well. Both arms waved over the head: help. If the crew uses other signals, "
            "agree on those now and show them."
        ),
        "briefing.count": _("You are counted when you go in, while you are in and when you come out: answer at once."),
        "briefing.covered": _(
            "Blades are covered until gloves and eye protection are on, and whenever they are carried."
        ),
        "briefing.reach": _("Keep two arm's lengths and a blade away from everyone, and tell before you pass behind."),
        "briefing.cut_away": _("Cut away from your body and your partner. Under 18: no blade in the hand."),
        "briefing.stubs": _("Old stubs cut through skin and thin waders: firm soles everywhere, never bare feet."),
        "briefing.thunder": _(
            "Thunder heard or lightning seen: out of the water and off the shore, into a car or house."
        ),
        "briefing.wait": _("Back only {minutes} minutes after the last thunder."),
        "briefing.drink": _("Drink before you are thirsty. Lake and stream water is not drunk."),
        "briefing.hazards_unknown": _(
            "No hazards of this site are written down: look at the ground and the bed first."
        ),
        "briefing.no_first_aider": _("No first-aider is named: without one nobody goes into water."),
        "briefing.no_spotter": _("No spotter is named: without one nobody goes into water."),
        # trade.unit_rules: the hard rule of the design stands in the code.
        "H1.unit": _("A unit is two people, or three: nobody goes into water alone."),
        "H2.unit": _(
            "Nobody of the unit is an adult with enough earlier water days (at least {days}) or a trained lead."
        ),
        "H3.unit_guardian": _("{who} is under 18 and goes into water only in a unit with their own guardian."),
        "H3.unit_depth": _("{who} is under 18 and {depth_cm} cm is too deep: {limit_cm} cm at most."),
        "H4.unit": _("{who} has not said that they are willing and able to work in water."),
        "H6.unit": _("{depth_cm} cm is deeper than {who} may wade: {limit_cm} cm."),
        "H6.unit_unknown": _("The height of {who} is unknown, and with it how deep they may wade."),
        "H11.unit": _("The people of the unit share no language, so that a warning might not be understood."),
        "unit.not_expected": _("{who} has no place on this day."),
        "unit.dry": _("This zone is dry: nobody counts as in water there."),
    }
)
