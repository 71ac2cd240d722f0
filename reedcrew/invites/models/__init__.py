"""Tables of calendar entries, of mails out and in, of calendars to subscribe to, and of who wants which mail."""

from reedcrew.invites.models.entries import CalendarEntry
from reedcrew.invites.models.incoming import AddressFault, IncomingMail
from reedcrew.invites.models.mailings import Mailing, RosterMessage
from reedcrew.invites.models.outgoing import OutgoingMail
from reedcrew.invites.models.subscriptions import FeedAddress, GroupFeed, MailChoice

__all__ = [
    "AddressFault",
    "CalendarEntry",
    "FeedAddress",
    "GroupFeed",
    "IncomingMail",
    "MailChoice",
    "Mailing",
    "OutgoingMail",
    "RosterMessage",
]
