"""Everything that the fieldbook writes: who was there, what was cut, where it went, and closing the day."""

from reedcrew.fieldbook.hours import OPENS_BEFORE, TAKES_UNTIL
from reedcrew.fieldbook.services.attendance import ask_left, ask_never_came, sign_in, sign_out, walk_up
from reedcrew.fieldbook.services.bags import move_bags_on
from reedcrew.fieldbook.services.briefing import hear_briefing
from reedcrew.fieldbook.services.closing import ask_everyone_left, close
from reedcrew.fieldbook.services.incidents import record_incident
from reedcrew.fieldbook.services.kiosks import make_kiosk_link, revoke_kiosk_link
from reedcrew.fieldbook.services.paper import PaperLoad, PaperStay, type_in_paper
from reedcrew.fieldbook.services.photos import add_photo
from reedcrew.fieldbook.services.settling import settle_entry
from reedcrew.fieldbook.services.walk_ups import add_newcomer
from reedcrew.fieldbook.services.water import (
    ask_out_of_water,
    call_all_out,
    come_out,
    count_heads,
    go_in,
    unit_of,
)
from reedcrew.fieldbook.services.work import record_load, strike, tally_bundles, tally_counted

__all__ = [
    "OPENS_BEFORE",
    "TAKES_UNTIL",
    "PaperLoad",
    "PaperStay",
    "add_newcomer",
    "add_photo",
    "ask_everyone_left",
    "ask_left",
    "ask_never_came",
    "ask_out_of_water",
    "call_all_out",
    "close",
    "come_out",
    "count_heads",
    "go_in",
    "hear_briefing",
    "make_kiosk_link",
    "move_bags_on",
    "record_incident",
    "record_load",
    "revoke_kiosk_link",
    "settle_entry",
    "sign_in",
    "sign_out",
    "strike",
    "tally_bundles",
    "tally_counted",
    "type_in_paper",
    "unit_of",
    "walk_up",
]
