"""The drawings of pages: what each shows in words, for who does not see it, and the sentence below it.

The files stand in ``static/web/drawings``, all in one hand: lines in the colour of the text, fills of tokens.css by
their names, so that a drawing follows the scheme, forced colours and print by itself. They hold no words. What they
show is common practice (cp); limits are rules of the trade or of the place and are told in words beside them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

WIDTH, HEIGHT = 320, 200  # px: the shape of every drawing, so that its room is kept before it is loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """``shows`` takes the picture's place; ``says`` is what to learn from it and stands below."""

    shows: Promise
    says: Promise


DRAWINGS: Mapping[str, Drawing] = MappingProxyType(
    {
        "depth": Drawing(
            shows=_(
                "A shore from the side. In shallow water somebody stands in boots; in deeper water somebody stands in "
                "chest waders and a life jacket, beside a depth gauge."
            ),
            says=_("Boots in shallow water; where it is deeper, chest waders and a life jacket. Always in pairs."),
        ),
        "cut-at-bed": Drawing(
            shows=_(
                "Reed standing in water. A long-handled blade reaches down to the bed and cuts a stem just above it; "
                "short stubs are left where stems were cut."
            ),
            says=_("In water the stem is cut as near the bed as you can reach, so that no stub stands above it."),
        ),
        "spade": Drawing(
            shows=_(
                "Reed on dry ground. A spade held at 45 degrees goes into the base of a stem, just below the surface; "
                "the roots beside it stay where they are."
            ),
            says=_("On land a sharpened spade goes in at about 45° at the stem's base, and little soil is moved."),
        ),
        "pair": Drawing(
            shows=_(
                "Two people in life jackets stand in water within reach of each other. On the shore a third person "
                "watches and calls."
            ),
            says=_("In water nobody is alone: a partner within reach, and a spotter on shore who only watches."),
        ),
        "gear": Drawing(
            shows=_("Chest waders, a life jacket, gloves, a whistle, eye protection and a rubber boot."),
            says=_("What is worn: it is lent where you have none, and set aside in your size."),
        ),
        "dry-ground": Drawing(
            shows=_("Cut reed is carried from the water and piled on dry ground in the sun, or put into a bag."),
            says=_("Everything that is cut leaves the water and dries in the sun: even a small piece can root."),
        ),
    }
)
