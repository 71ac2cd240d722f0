import pytest

from reedcrew.trade.depth_classes import DepthClass, depth_class
from reedcrew.trade.moves import zone_state
from reedcrew.trade.policy import DEFAULT_POLICY


@pytest.mark.parametrize(
    ("depth_cm", "current_m_s", "kind"),
    [
        (0, 0, DepthClass.DRY),
        (1, 0, DepthClass.SHALLOW),
        (30, 0, DepthClass.SHALLOW),  # design, rule 5: over 30 cm is water work
        (31, 0, DepthClass.DEEP),
        (100, 0, DepthClass.DEEP),  # design, H6: the default limit is 100 cm
        (101, 0, DepthClass.CLOSED),
        (60, 1, DepthClass.CLOSED),  # design, H7: 0.6 m²/s is over 0.929 m²/s with a safety factor of 2
        (60, None, DepthClass.CLOSED),  # a current that nobody measured
        (0, None, DepthClass.DRY),
    ],
)
def test_a_zone_is_told_apart_by_depth_and_current(depth_cm, current_m_s, kind):
    assert depth_class(zone_state("A", depth_cm, current_m_s, DEFAULT_POLICY)) is kind
