"""The four kinds of zone that a map tells apart, by depth today and whether anybody may wade there."""

from enum import StrEnum

from reedcrew.trade.moves import Ground, ZoneState


class DepthClass(StrEnum):
    """What a zone is on the map."""

    DRY = "dry"
    SHALLOW = "shallow"  # up to the depth of water work
    DEEP = "deep"  # water work
    CLOSED = "closed"  # nobody wades here at this depth or current


_OF_GROUND = {Ground.DRY: DepthClass.DRY, Ground.SHALLOW: DepthClass.SHALLOW, Ground.DEEP: DepthClass.DEEP}


def depth_class(state: ZoneState) -> DepthClass:
    """The kind of a zone in this state: closed by depth or current (H6, H7), or else by what people stand in."""
    return _OF_GROUND[state.ground] if state.is_open else DepthClass.CLOSED
