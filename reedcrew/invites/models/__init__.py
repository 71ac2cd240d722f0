"""Tables of calendar entries and of mails, out and in."""

from reedcrew.invites.models.entries import CalendarEntry
from reedcrew.invites.models.incoming import AddressFault, IncomingMail
from reedcrew.invites.models.outgoing import OutgoingMail

__all__ = ["AddressFault", "CalendarEntry", "IncomingMail", "OutgoingMail"]
