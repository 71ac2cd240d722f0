"""Mails on their way out."""

import datetime
from typing import Any, ClassVar, Self

from django.db import models
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.workdays.models import SignUp

# What is stored of a fault in plain words; the first sign that it holds counts: the kind of error, or a code of RFC
# 5321 section 4.2 or RFC 3463 section 3.
FAULTS_IN_WORDS: tuple[tuple[str, Promise], ...] = (
    ("SMTPAuthenticationError", _("Our mail server does not accept our sign-in. Whoever runs this site must look.")),
    ("SMTPSenderRefused", _("Our mail server does not take mail from our address. Whoever runs this site must look.")),
    ("SMTPHeloError", _("Our mail server does not talk to us. Whoever runs this site must look.")),
    (" 5.1.", _("There is no such mailbox. Ask the person for their address.")),
    (" 5.2.2", _("The mailbox is full. Ask the person to make room.")),
    (" 5.2.", _("The mailbox is closed or takes no mail. Ask the person.")),
    (" 5.7.", _("The receiver's mail server does not want this mail. Ask the person, or whoever runs this site.")),
    (" 4.2.2", _("The mailbox is full; we try again.")),
    (": 4", _("The receiver's mail server asks us to try again later.")),
    (": 5", _("The receiver's mail server refused the mail for good.")),
    ("", _("The mail server could not be reached, or the line was cut.")),
)


class OutgoingMailQuerySet(models.QuerySet["OutgoingMail"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def for_list(self) -> Self:
        """Without the bytes, which no list shows."""
        return self.defer("raw", "draft").select_related("sign_up__member")

    def due(self, now: datetime.datetime) -> Self:
        """Mails that wait to be tried now, the oldest first."""
        return self.filter(state=OutgoingMail.State.WAITING, next_try_at__lte=now).order_by("next_try_at", "pk")

    def overtaken(self, sign_up: SignUp, now: datetime.datetime) -> Self:
        """Mails that wait for the morning and no longer hold: an offer that was taken, a lapse before a new offer."""
        kinds = [
            *([] if sign_up.state == SignUp.State.OFFERED else [OutgoingMail.Kind.OFFER]),
            *([] if sign_up.state == SignUp.State.WAITING else [OutgoingMail.Kind.CHANGE]),
        ]
        waiting = self.filter(sign_up=sign_up, state=OutgoingMail.State.WAITING, kind__in=kinds)
        return waiting.filter(tries=0, next_try_at__gt=now)

    def not_begun(self) -> Self:
        """Mails that wait and that no server was offered yet."""
        return self.filter(state=OutgoingMail.State.WAITING, tries=0)

    def held_up(self) -> Self:
        """Mails that were tried in vain and wait for the next try."""
        return self.filter(state=OutgoingMail.State.WAITING, tries__gt=0).exclude(last_error="")

    def numbers(self) -> dict[str, int]:
        """How many are in which state; one query."""
        return dict(self.order_by().values_list("state").annotate(number=models.Count("pk")))


class OutgoingMail(models.Model):
    """One mail to one person, kept as the bytes that every try sends, or until the first try as their draft."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        SENT = "sent", _("sent")
        REFUSED = "refused", _("refused for good")
        DROPPED = "dropped", _("no longer needed")

    class Kind(models.TextChoices):
        INVITE = "invite", _("invitation")
        CHANGE = "change", _("change")
        CANCEL = "cancel", _("cancellation")
        WAITING_LIST = "waiting list", _("waiting list")
        OFFER = "offer", _("place offered")
        ANSWER = "answer", _("question about an answer")
        REMINDER = "reminder", _("reminder")
        MESSAGE = "message", _("message of the organizers")
        THANKS = "thanks", _("thanks")
        PASSED_ON = "passed on", _("message passed on")
        INCIDENT = "incident", _("word of an incident")

    # What nobody needs once the day has begun, and what nobody needs once it is over.
    BEFORE_DAY = (Kind.REMINDER, Kind.OFFER)
    UNTIL_DAY_ENDS = (Kind.INVITE, Kind.CHANGE, Kind.WAITING_LIST, Kind.ANSWER)

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="outgoing_mails")
    sign_up = models.ForeignKey(SignUp, on_delete=models.SET_NULL, null=True, blank=True, related_name="mails")
    roster_message = models.ForeignKey(
        "invites.RosterMessage", on_delete=models.SET_NULL, null=True, blank=True, related_name="mails"
    )
    kind = models.CharField(max_length=12, choices=Kind.choices)
    to_address = models.EmailField()
    domain = models.CharField(max_length=255, editable=False)  # of the address, in lower case: servers count by it
    envelope_from = models.CharField(max_length=200)
    subject = models.CharField(max_length=200)
    message_id = models.CharField(max_length=200, unique=True)
    raw = models.BinaryField(default=b"")
    draft = models.JSONField(null=True, blank=True, editable=False)  # of invites.drafts, until it is written down
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    tried_at = models.DateTimeField(null=True, blank=True)  # of the last try: so many a minute to one domain
    sent_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["OutgoingMail"]] = OutgoingMailQuerySet.as_manager()

    class Meta:
        verbose_name = _("outgoing mail")
        verbose_name_plural = _("outgoing mails")
        ordering = ["-created_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "next_try_at"], name="invites_mail_due"),
            models.Index(fields=["tried_at"], name="invites_mail_tried"),
            models.Index(fields=["envelope_from"], name="invites_mail_by_envelope"),
        ]

    def __str__(self) -> str:
        return self.subject

    def save(self, **kwargs: Any) -> None:
        """Keep the domain beside the address."""
        self.domain = self.to_address.rpartition("@")[2].lower()
        super().save(**kwargs)

    @property
    def fault(self) -> str:
        """What stopped the last try, in plain words; "" where nothing did."""
        if not self.last_error:
            return ""
        return next(str(words) for sign, words in FAULTS_IN_WORDS if sign in self.last_error)

    def is_pointless(self, now: datetime.datetime) -> bool:
        """Whether its day has passed it by, as after a mail server was away for days."""
        if self.sign_up is None:
            return False
        day = self.sign_up.day
        return (self.kind in self.BEFORE_DAY and now >= day.starts_at) or (
            self.kind in self.UNTIL_DAY_ENDS and day.has_ended(now)
        )
