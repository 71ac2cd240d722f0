"""What was sent, as it was sent: a phone's entry is a row here before anything follows from it."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.fields import EncryptedTextField
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import WorkDay


class PhoneOfDay(models.Model):
    """A phone that opened or sent the fieldbook of a day. Its key is made on the phone; its owner gave the name."""

    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="phones")
    key = models.UUIDField(editable=False)
    name = models.CharField(_("name of the phone"), max_length=60, blank=True)
    account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")  # who used it last
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    offset_s = models.IntegerField(_("server time minus phone time"), default=0)  # seconds, of the last sync

    objects: ClassVar[models.Manager["PhoneOfDay"]] = models.Manager()

    class Meta:
        verbose_name = _("phone of a day")
        verbose_name_plural = _("phones of a day")
        ordering = ["first_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["day", "key"], name="fieldbook_phone_once_a_day")]

    def __str__(self) -> str:
        return self.name or str(self.key)[:8]


class Submission(models.Model):
    """One entry as a phone or a page sent it. It is never changed or removed, only what became of it is,
    and the name of a person whom the group forgets (fieldbook.forgetting).

    ``entry_id`` is made where the entry was made. The same id with other words is a further row: ``digest`` tells them
    apart. ``phone_at`` is the phone's word, ``at`` what the server makes of it: put right by ``offset_s`` (server time
    minus phone time in seconds when the phone sent it).
    """

    class Kind(models.TextChoices):
        SIGN_IN = "sign_in", _("sign-in")
        SIGN_OUT = "sign_out", _("sign-out")
        WALK_UP = "walk_up", _("walk-up")
        ABSENT = "absent", _("did not come")
        BRIEFING_HEARD = "briefing_heard", _("briefing heard")
        WATER_IN = "water_in", _("into the water")
        WATER_OUT = "water_out", _("out of the water")
        ALL_OUT = "all_out", _("all out")
        HEAD_CHECK = "head_check", _("head count")
        TALLY = "tally", _("stems")
        LOAD = "load", _("load")
        INCIDENT = "incident", _("incident")
        PHOTO = "photo", _("photo")
        NOTE = "note", _("note")
        STRIKE = "strike", _("struck out")
        UNKNOWN = "unknown", _("not understood")

    class Outcome(models.TextChoices):
        TAKEN = "taken", _("taken")
        CONFLICT = "conflict", _("taken, to be looked at")
        REFUSED = "refused", _("not taken, to be looked at")

    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="submissions")
    entry_id = models.UUIDField(editable=False)
    digest = models.CharField(max_length=64, editable=False)  # SHA-256 of kind, time and data
    phone = models.ForeignKey(PhoneOfDay, on_delete=models.PROTECT, null=True, blank=True, related_name="submissions")
    author = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=14, choices=Kind.choices)
    data = models.JSONField(default=dict)
    private = EncryptedTextField(blank=True)  # the data as JSON where it is private; ``data`` is empty then
    phone_at = models.DateTimeField(null=True, blank=True)  # None where the phone's word was no time
    offset_s = models.IntegerField(default=0)
    at = models.DateTimeField()
    received_at = models.DateTimeField()
    member = models.ForeignKey(Member, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    final = models.BooleanField(default=False)  # refused on arrival, whatever arrives later
    outcome = models.CharField(max_length=8, choices=Outcome.choices, default=Outcome.TAKEN)
    code = models.CharField(max_length=40, blank=True)  # of the sentence that says why
    values = models.JSONField(default=dict, blank=True)  # what the sentence names
    field = models.CharField(max_length=60, blank=True)
    other_id = models.UUIDField(null=True, blank=True)  # entry_id of the version that it differs from
    settled_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_note = models.CharField(max_length=200, blank=True)

    objects: ClassVar[models.Manager["Submission"]] = models.Manager()

    class Meta:
        verbose_name = _("entry as sent")
        verbose_name_plural = _("entries as sent")
        ordering = ["at", "entry_id", "digest"]
        constraints = [
            models.UniqueConstraint(fields=["day", "entry_id", "digest"], name="fieldbook_submission_once"),
        ]
        indexes = [models.Index(fields=["entry_id"], name="fieldbook_submission_entry")]

    def __str__(self) -> str:
        return f"{self.kind} {self.entry_id}"
