"""How much gear a crew takes along.

Conventions of this project unless a line names a source; a group's habits may differ.
"""

import math

# What a line counts in.
LITRE, MILLILITRE, PIECE = "L", "mL", "piece"

# The design's gear list (common practice).
UNITS_PER_SLED = 2

# Conventions.
TOOLS_PER_STONE = 5
PEOPLE_PER_SHADE = 10
PEOPLE_PER_STATION = 10
BRUSHES_PER_STATION = 2
SPRAYERS_PER_STATION = 1
SOLUTION_L_PER_STATION = 20
# The weakest bleach that labels show: no other strength needs more of it.
BLEACH_PERCENT = 5
ROWS_PER_SIGN_IN_SHEET = 20

# Twine: a bundle of 10 mm stems, 61 cm around, holds 226 to 301 (computed from a thatching bundle); two ties of 1 m
# each.
STEMS_PER_BUNDLE = 250
TWINE_M_PER_BUNDLE = 2
TWINE_M_PER_BALL = 100

# Ring buoys' lines are at least 27.4 m (29 CFR 1926.106(c)); a throw line that long reaches as far.
THROW_LINE_M = 27.4

# A full application for an adult is about 30 mL, more than clothed people need; again every 2 h (21 CFR 201.327, from
# memory; Environment and Climate Change Canada).
SUNSCREEN_ML = 30
SUNSCREEN_EACH_H = 2


def each(count: float, per: float) -> int:
    """One for each started ``per`` of ``count``."""
    return math.ceil(count / per)


def sunscreen_applications(hours: float) -> int:
    """How often sunscreen is put on in so many hours: once for each started 2 h."""
    return each(hours, SUNSCREEN_EACH_H)


def twine_balls(stems: int) -> int:
    """Balls of 100 m of twine to tie so many stems in bundles."""
    return each(each(stems, STEMS_PER_BUNDLE) * TWINE_M_PER_BUNDLE, TWINE_M_PER_BALL)
