"""Everything that changes accounts, groups and people. One function a use case, one transaction."""

from reedcrew.people.services.accounts import account_for, choose_language, choose_units
from reedcrew.people.services.erasing import erase_account, erase_member, erased_address, scrub
from reedcrew.people.services.groups import edit_group, found_group
from reedcrew.people.services.joining import NewPerson, add_child, add_member, add_people, join_group, leave
from reedcrew.people.services.keys import reencrypt
from reedcrew.people.services.private import (
    LookedAt,
    empty_private,
    look_at_private,
    look_at_private_of_day,
    save_private,
)
from reedcrew.people.services.profiles import Measures, ProfileAnswers, save_profile
from reedcrew.people.services.standing import set_standing
from reedcrew.people.services.wishes import drop_wish, make_wish

__all__ = [
    "LookedAt",
    "Measures",
    "NewPerson",
    "ProfileAnswers",
    "account_for",
    "add_child",
    "add_member",
    "add_people",
    "choose_language",
    "choose_units",
    "drop_wish",
    "edit_group",
    "empty_private",
    "erase_account",
    "erase_member",
    "erased_address",
    "found_group",
    "join_group",
    "leave",
    "look_at_private",
    "look_at_private_of_day",
    "make_wish",
    "reencrypt",
    "save_private",
    "save_profile",
    "scrub",
    "set_standing",
]
