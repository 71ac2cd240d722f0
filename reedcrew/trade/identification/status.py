"""What is known of a stand's subspecies."""

from enum import StrEnum


class Identification(StrEnum):
    """What is known of a stand's subspecies. Only INTRODUCED opens a stand for work days (design, rule 2).

    UNCHECKED is a stand that no organizer has decided about, whatever checks have found.
    """

    UNCHECKED = "unchecked"
    INTRODUCED = "introduced"
    NATIVE = "native"
    NOT_SURE = "not sure"

    @property
    def may_be_cut(self) -> bool:
        """Whether a work day can be posted on the stand: the native subspecies and any doubt protect it."""
        return self is Identification.INTRODUCED
