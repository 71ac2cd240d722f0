"""The usual cautions, shown on every page where the work could hurt someone.

They name no limits: limits are rules of the trade or of the place. Each ends by deferring to local rules and to
qualified people. The advice is common practice without one published source; labels and local law always come first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What to show for one kind of danger: a title, short advice, and who decides."""

    icon: str
    title: Promise
    advice: tuple[Promise, ...]
    defer: Promise


CAUTIONS: Mapping[str, Caution] = MappingProxyType(
    {
        "water": Caution(
            icon="water",
            title=_("Water"),
            advice=(
                _("Nobody goes in alone. Stay where your partner can reach you."),
                _("Wear a life jacket that fits, closed, for the whole time in water."),
                _("Come out when you are cold, tired or unsure. Nobody needs a reason to stay ashore."),
            ),
            defer=_(
                "The crew lead may close the water at any time. Local rules, the landowner and people qualified in "
                "water safety decide before this page does."
            ),
        ),
        "blades": Caution(
            icon="blade",
            title=_("Blades and stubs"),
            advice=(
                _("Gloves and eye protection on before a blade is uncovered."),
                _("Keep everyone out of reach of your swing, and cut away from your body and your partner."),
                _("Carry blades covered and pointing down. Never leave one in the water or the grass."),
                _("Old stubs are sharp: firm soles, never bare feet."),
            ),
            defer=_("Follow the tool maker's instructions, and let someone who is trained show you the cut first."),
        ),
        "heat": Caution(
            icon="sun",
            title=_("Heat"),
            advice=(
                _("Drink before you are thirsty and rest in the shade."),
                _("Dizzy, sick, a headache or cramps: stop, go to the shade, tell the crew lead."),
                _("Someone confused or collapsing needs the emergency number and cooling at once."),
            ),
            defer=_("Your doctor's advice and local heat rules come first; the crew lead may shorten or end the day."),
        ),
        "cold": Caution(
            icon="cold",
            title=_("Cold water"),
            advice=(
                _("Cold water takes breath and strength within minutes, even on a warm day. Go in slowly."),
                _("Shivering, clumsy hands or slurred words: out of the water, dry, wrapped up, and not left alone."),
                _("Someone drowsy or confused needs the emergency number at once."),
            ),
            defer=_("People qualified in water safety or first aid decide; when in doubt, stay out."),
        ),
        "bleach": Caution(
            icon="flask",
            title=_("Bleach"),
            advice=(
                _("Mix outdoors with water only. With acids, ammonia or other cleaners it gives off poisonous gas."),
                _("Gloves and eye protection on. On skin or in an eye: rinse with much water and get medical advice."),
                _(
                    "Keep it away from children, and keep the rinse water out of the lake, the stream and the drains "
                    "to them."
                ),
            ),
            defer=_("The product's label and local rules on use and disposal come before this page."),
        ),
        "burning": Caution(
            icon="flame",
            title=_("Burning"),
            advice=(
                _("Burn nothing unless local bylaws and the fire authority allow it, here and on that day."),
                _("Never light dry reed where it stands, and never in wind or drought."),
            ),
            defer=_("This page cannot know the bylaws of your place. Ask the authority first and keep its answer."),
        ),
        "minors": Caution(
            icon="guardian",
            title=_("People under 18"),
            advice=(
                _(
                    "They take part with a guardian's consent, and are never alone with one adult who is not their "
                    "guardian."
                ),
                _("Unless the plan says otherwise they stay ashore, away from blades and bleach."),
            ),
            defer=_("Local rules on the protection and the work of minors decide, and so does the guardian."),
        ),
        "general": Caution(
            icon="caution",
            title=_("Safety first"),
            advice=(
                _("Stop when something feels wrong and tell the crew lead."),
                _("In an emergency call the local emergency number first, then the crew lead."),
            ),
            defer=_(
                "This page helps to plan. It does not replace local rules or the judgement of qualified people on site."
            ),
        ),
    }
)
