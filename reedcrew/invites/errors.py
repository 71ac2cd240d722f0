"""Why something about the mail is refused."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class MailNotRefused(ReedcrewError):
    code = "mail_not_refused"
    sentence = _("Only a mail that was refused for good can be sent again; this one is %(state)s.")
