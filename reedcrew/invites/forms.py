"""The form of a message to a roster."""

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.invites.models import RosterMessage
from reedcrew.web.forms import SubmissionMixin
from reedcrew.web.lengths import length_of


class RosterMessageForm(SubmissionMixin):
    """What an organizer writes to the people of a day."""

    message_fields = ("subject", "words", "about_safety", "to_waiting")  # what makes one message differ from another

    subject = forms.CharField(label=_("Subject"), max_length=length_of(RosterMessage, "subject"))
    words = forms.CharField(
        label=_("Message"),
        max_length=length_of(RosterMessage, "words"),
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=_("When, where and how to withdraw stand below it by themselves. Name nobody who has not agreed."),
    )
    about_safety = forms.BooleanField(
        label=_("It is about safety"),
        required=False,
        help_text=_("Then it goes at once, also at night and to people who turned messages off."),
    )
    to_waiting = forms.BooleanField(label=_("Also to the waiting list"), required=False)
