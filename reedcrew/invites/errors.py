"""Why something about the mail is refused."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class MailNotRefused(ReedcrewError):
    code = "mail_not_refused"
    sentence = _("Only a mail that was refused for good can be sent again; this one is %(state)s.")


class TooManyMessages(ReedcrewError):
    """A slip, or somebody who signs in as an organizer: nobody reads so many in a day."""

    code = "too_many_messages"
    field = "words"
    sentence = _(
        "%(count)s messages have gone out to people of this group within a day, the most there may be. Send this one "
        "tomorrow. What is about safety still goes at once."
    )


class MessageGone(ReedcrewError):
    code = "message_gone"
    sentence = _("The message has gone to everybody already: write another one to put it right.")
