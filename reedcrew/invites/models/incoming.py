"""Mails that came in: kept whole, so that none is ever dropped."""

from typing import ClassVar, Self

from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.invites.models.entries import CalendarEntry
from reedcrew.people.models import Account, Group

# Problems of replies.answers.Problem in words for organizers; the grounds of replies.judging.Why are words already.
REASONS = {
    "not a calendar": _("The calendar part could not be read."),
    "several events": _("The calendar part does not tell exactly one event."),
    "one of a series": _("It answers one day of a series; our days are single ones."),
    "no uid": _("The calendar part does not say which invitation it answers."),
    "several people": _("It answers for several people at once."),
    "no person": _("It does not say who answers."),
    "broken value": _("A value of the calendar part is broken."),
    "no answer": _("It holds no answer that a sign-up could follow."),
    "delegated": _("The person sends somebody else; the sign-up is theirs alone."),
    "client failed": _("The calendar program reports that it failed."),
    "other method": _("It asks for something that only organizers do."),
    "too big": _("The mail is too big to be read."),
    "too deep": _("The mail is nested too deeply to be read."),
    "unreadable": _("The mail could not be read."),
}


class IncomingMailQuerySet(models.QuerySet["IncomingMail"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def for_list(self) -> Self:
        """Without the bytes, which no list shows."""
        return self.defer("raw").select_related("entry__sign_up__member", "entry__sign_up__day")

    def to_look_at(self) -> Self:
        """What asks for an organizer's eyes and has not had them."""
        return self.filter(outcome__in=IncomingMail.TO_LOOK_AT, seen_at=None)


class IncomingMail(models.Model):
    """One mail as it arrived, what it was taken for and what it changed. The digest tells a repeat."""

    class Kind(models.TextChoices):
        ANSWER = "answer", _("calendar answer")
        BOUNCE = "bounce", _("delivery report")
        AUTOMATIC = "automatic", _("automatic reply")
        PERSONAL = "personal", _("message")
        UNUSABLE = "unusable", _("could not be read")

    class Outcome(models.TextChoices):
        APPLIED = "applied", _("the sign-up follows the answer")
        HELD = "held", _("the person was asked to confirm")
        EARLIER = "earlier", _("answers an earlier version; the place is kept")
        NOTED = "noted", _("nothing changed")
        PASSED_ON = "passed on", _("passed on to the organizers")
        RESENT = "resent", _("the invitation was sent again")
        TOLD = "told", _("the person was told that it is too late")
        MARKED = "marked", _("the address is marked: mail does not arrive")
        IGNORED = "ignored", _("nothing changed")
        KEPT = "kept", _("kept as it came")

    TO_LOOK_AT = (Outcome.NOTED, Outcome.KEPT, Outcome.PASSED_ON, Outcome.MARKED)

    group = models.ForeignKey(Group, on_delete=models.CASCADE, null=True, related_name="incoming_mails")
    entry = models.ForeignKey(CalendarEntry, on_delete=models.SET_NULL, null=True, related_name="incoming_mails")
    kind = models.CharField(max_length=9, choices=Kind.choices)
    outcome = models.CharField(max_length=9, choices=Outcome.choices)
    why = models.CharField(max_length=100, blank=True)  # a value of replies.judging.Why or replies.answers.Problem
    sender = models.EmailField(blank=True)
    subject = models.CharField(max_length=200, blank=True)
    message_id = models.CharField(max_length=200, blank=True)
    words = models.TextField(blank=True)  # what a person wrote, or the comment of an answer
    reply_sequence = models.PositiveIntegerField(null=True)  # of an answer that waits for its confirmation
    reply_dtstamp = models.DateTimeField(null=True)
    received_at = models.DateTimeField()
    digest = models.CharField(max_length=64, unique=True)  # SHA-256 of the bytes
    raw = models.BinaryField()
    seen_at = models.DateTimeField(null=True)
    seen_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, related_name="+")

    objects: ClassVar[models.Manager["IncomingMail"]] = IncomingMailQuerySet.as_manager()

    class Meta:
        verbose_name = _("incoming mail")
        verbose_name_plural = _("incoming mails")
        ordering = ["-received_at", "-pk"]
        indexes = [models.Index(fields=["message_id"], name="invites_incoming_by_id")]

    def __str__(self) -> str:
        return self.subject

    @property
    def title(self) -> str:
        """What a list calls it."""
        if self.entry is not None:
            return f"{self.entry.sign_up.member.name}, {self.entry.sign_up.day.title}"
        return self.subject or gettext("without a subject")

    @property
    def asks_for_eyes(self) -> bool:
        return self.outcome in self.TO_LOOK_AT and self.seen_at is None

    @property
    def reason(self) -> str:
        """Why it was taken as it was, in the reader's language; "" where there is nothing to say."""
        return str(REASONS.get(self.why) or gettext(self.why)) if self.why else ""


class AddressFaultQuerySet(models.QuerySet["AddressFault"]):
    def standing(self) -> Self:
        return self.filter(cleared_at=None)


class AddressFault(models.Model):
    """One report that mail to an address was refused for good. How many mark the address, invites.addresses says."""

    address = models.EmailField(db_index=True)
    status = models.CharField(max_length=11)  # of RFC 3463, such as 5.1.1
    reason = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField()
    cleared_at = models.DateTimeField(null=True)

    objects: ClassVar[models.Manager["AddressFault"]] = AddressFaultQuerySet.as_manager()

    class Meta:
        verbose_name = _("fault of an address")
        verbose_name_plural = _("faults of addresses")
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.status} at {self.at:%Y-%m-%d}"

    @property
    def is_wrong_address(self) -> bool:
        """5.1.x: there is no such mailbox (RFC 3463 section 3.2)."""
        return self.status.startswith("5.1.")
