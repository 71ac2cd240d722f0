"""Notices of authorities that permit or forbid work at a site."""

import datetime
import uuid
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.fields import MonthDayField
from reedcrew.stands.models.sites import Site
from reedcrew.trade.season import YEAR_MAX, YEAR_MIN, Effect, MonthDay, Notice
from reedcrew.web.times import day_of_year_text


class SiteNotice(models.Model):
    """What an authority has said of a site, as issued: its dates are kept, never guessed, and never deleted.

    A notice that no longer holds is ended by its last day. What was changed is in the record of deeds.
    """

    class Kind(models.TextChoices):
        NESTING = "nesting", _("nesting birds")
        SPAWNING = "spawning", _("spawning fish")
        PERMIT = "permit", _("condition of a permit")
        OTHER = "other", _("other")

    class Scope(models.TextChoices):
        WHOLE_SITE = "site", _("all work at the site")
        IN_WATER = "water", _("work in water only")

    class Force(models.TextChoices):
        STOP = "stop", _("must be kept: other days are closed")
        ADVICE = "advice", _("asks for care: days stay open, with a caution")

    EFFECTS = [
        (Effect.FORBIDS.value, _("a prohibition: no work on these days")),
        (Effect.PERMITS.value, _("a permission: work on these days only")),
    ]

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="notices")
    kind = models.CharField(_("about"), max_length=8, choices=Kind.choices)
    effect = models.CharField(_("what it is"), max_length=7, choices=EFFECTS)
    scope = models.CharField(_("applies to"), max_length=5, choices=Scope.choices, default=Scope.WHOLE_SITE)
    force = models.CharField(_("how strict it is"), max_length=6, choices=Force.choices, default=Force.STOP)
    opens = MonthDayField(_("first day"))
    closes = MonthDayField(_("last day"))
    year = models.PositiveSmallIntegerField(
        _("year"), null=True, blank=True, validators=[MinValueValidator(YEAR_MIN), MaxValueValidator(YEAR_MAX)]
    )
    issuer = models.CharField(_("authority that issued it"), max_length=160)
    reference = models.CharField(_("reference"), max_length=160, blank=True)
    issued_on = models.DateField(_("issued on"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True)
    until = models.DateField(_("last day on which the notice holds"), null=True, blank=True, editable=False)
    ended_because = models.CharField(_("why it ended"), max_length=300, blank=True, editable=False)
    recorded_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+", editable=False)
    recorded_at = models.DateTimeField(editable=False)
    submission = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)  # of the form that recorded it
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["SiteNotice"]] = models.Manager()

    class Meta:
        verbose_name = _("notice")
        verbose_name_plural = _("notices")
        ordering = ["opens", "closes", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(issuer=""), name="stands_notice_has_issuer"),
            models.CheckConstraint(condition=Q(until=None) | ~Q(ended_because=""), name="stands_notice_end_has_reason"),
        ]

    def __str__(self) -> str:
        return f"{self.issuer}: {self.get_kind_display()}"

    @property
    def rule(self) -> Notice:
        """The notice as the rules of the trade take it. Raises UnusableInput for dates that no year has."""
        opens, closes = self._days
        return Notice(
            effect=Effect(self.effect),
            opens=opens,
            closes=closes,
            issuer=f"{self.issuer} ({self.reference})" if self.reference else self.issuer,
            year=self.year,
            until=self.until,
            advises=self.force == self.Force.ADVICE,
            in_water_only=self.scope == self.Scope.IN_WATER,
        )

    @property
    def opens_text(self) -> str:
        """The first day in words, with its year where the notice is of one year."""
        return self._text(self._days[0], self.year)

    @property
    def closes_text(self) -> str:
        """The last day in words, with its year where the notice is of one year."""
        return self._text(self._days[1], self.rule.last_year)

    @property
    def _days(self) -> tuple[MonthDay, MonthDay]:
        if self.opens is None or self.closes is None:
            raise ValueError("a notice has both its first and its last day")
        return self.opens, self.closes

    @staticmethod
    def _text(day: MonthDay, year: int | None) -> str:
        return day_of_year_text(*day) if year is None else f"{day_of_year_text(*day)} {year}"

    def has_ended(self, day: datetime.date) -> bool:
        """Whether the notice says nothing of a day any more."""
        return self.until is not None and day > self.until
