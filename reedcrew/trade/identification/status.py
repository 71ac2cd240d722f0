"""What is known of a stand's subspecies."""

from enum import StrEnum

from reedcrew.trade.words import gettext_noop as _


class Identification(StrEnum):
    """What is known of a stand's subspecies. Only INTRODUCED opens a stand for work days (design, rule 2).

    UNCHECKED is a stand that no organizer has decided about, whatever checks have found.
    """

    UNCHECKED = _("unchecked")
    INTRODUCED = _("introduced")
    NATIVE = _("native")
    NOT_SURE = _("not sure")

    @property
    def may_be_cut(self) -> bool:
        """Whether a work day can be posted on the stand: the native subspecies and any doubt protect it."""
        return self is Identification.INTRODUCED
