from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models.account import Account
from reedcrew.people.models.group import Group
from reedcrew.people.models.member import Member


class AuditEntry(models.Model):
    """Who did what, when, to what. Written in the transaction of the deed; never changed."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="audit_entries")
    actor = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    at = models.DateTimeField()
    deed = models.CharField(max_length=40)
    subject = models.CharField(max_length=80)
    detail = models.JSONField(default=dict, blank=True)

    objects: ClassVar[models.Manager["AuditEntry"]] = models.Manager()

    class Meta:
        verbose_name = _("audit entry")
        verbose_name_plural = _("audit entries")
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["group", "subject"], name="people_audit_by_subject")]

    def __str__(self) -> str:
        return f"{self.deed} {self.subject}"


class PrivateLook(models.Model):
    """Someone looked at a private record: visible to the person it is about."""

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="looks")
    by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    why = models.CharField(max_length=120)

    objects: ClassVar[models.Manager["PrivateLook"]] = models.Manager()

    class Meta:
        verbose_name = _("look at a private record")
        verbose_name_plural = _("looks at private records")
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.by_id} looked at {self.member_id}"
