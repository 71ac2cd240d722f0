"""Tokens by which other programs read."""

import datetime
from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.api.scopes import Scope
from reedcrew.people.models import Account, Group, Member


class ApiTokenQuerySet(models.QuerySet["ApiToken"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def standing(self) -> Self:
        """Tokens that nobody revoked."""
        return self.filter(revoked_at=None)


class ApiToken(models.Model):
    """What a program of a group shows to read its records. Only a digest is kept: nobody can read the token again.

    ``last_used_at`` is the beginning of the hour in which it was last used: who polls leaves no finer trace, and most
    requests write nothing.
    """

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="api_tokens")
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="api_tokens")  # who made it
    name = models.CharField(_("name"), max_length=60)
    scopes = models.JSONField(default=list)  # values of Scope, in its order
    digest = models.CharField(max_length=64, unique=True)  # SHA-256 of the token
    ending = models.CharField(max_length=4)  # the token's last signs, to tell one from another
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    submission = models.UUIDField(unique=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["ApiToken"]] = ApiTokenQuerySet.as_manager()

    class Meta:
        verbose_name = _("token")
        verbose_name_plural = _("tokens")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(expires_at__gt=F("made_at")), name="api_token_ends_after_start"),
        ]

    def __str__(self) -> str:
        return self.name

    def has_expired(self, now: datetime.datetime) -> bool:
        return now >= self.expires_at

    def opens(self, scope: Scope) -> bool:
        return scope.value in self.scopes

    @property
    def scope_labels(self) -> list[str]:
        return [str(scope.label) for scope in Scope if self.opens(scope)]
