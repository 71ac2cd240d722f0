import datetime
import secrets
import uuid
from dataclasses import dataclass
from typing import ClassVar, Self
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Count, F, Max, Q
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import CODE_ALPHABET, Account, Group, Member
from reedcrew.stands.models import Stand, Zone
from reedcrew.trade.reasons import Reason, from_record
from reedcrew.workdays import errors

MOST_PLACES = 400  # of one kind on one day; what an entry can mean (convention)

# Conditions that lists filter by and counts count by.
_ACTIVE = ~Q(state="withdrawn")
_TAKING_PLACE = Q(state__in=["confirmed", "offered"]) & ~Q(outcome="absent")
_TO_ASK = Q(state="waiting", offer_lapsed_at=None)


def new_share_code() -> str:
    """A code of 10 signs for the public address of a work day."""
    return "".join(secrets.choice(CODE_ALPHABET) for _i in range(10)).lower()


class WorkDayQuerySet(models.QuerySet["WorkDay"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(stand__site__group=group)

    def posted(self) -> Self:
        return self.filter(status=WorkDay.Status.POSTED)

    def upcoming(self, now: datetime.datetime) -> Self:
        """Posted days that have not ended, the next one first."""
        return self.posted().filter(ends_at__gt=now).order_by("starts_at", "pk")

    def past(self, now: datetime.datetime) -> Self:
        """Days that have ended or were closed or cancelled, the latest first."""
        return self.exclude(status=WorkDay.Status.POSTED, ends_at__gt=now).order_by("-starts_at", "-pk")

    def with_stand(self) -> Self:
        return self.select_related("stand", "stand__site", "stand__site__group")

    def with_what_decides(self) -> Self:
        """With zones, notices of the site and rules of the group, which the panels of a day's page ask for in turn."""
        return self.with_stand().prefetch_related(
            "zones", "stand__zones", "stand__site__notices", "stand__site__group__policy_changes"
        )

    def on_protected_stands(self) -> Self:
        """Days on a stand that is not confirmed as the introduced subspecies (any more)."""
        return self.exclude(stand__in=Stand.objects.open_to_work())

    def held(self, pk: int) -> "WorkDay":
        """The day as it is now, its row held until the transaction ends: all about it is judged one by one."""
        return self.select_for_update(no_key=True, of=("self",)).with_stand().get(pk=pk)

    def held_again(self, day: "WorkDay") -> "WorkDay":
        """The same of a day that was read a moment ago with its stand, which is not read again."""
        held = self.select_for_update(no_key=True).get(pk=day.pk)
        held.stand = day.stand
        return held

    def with_counts(self) -> Self:
        """Adds ``water_count``, ``land_count`` and ``waiting_count`` from the sign-ups."""
        confirmed = Q(sign_ups__state=SignUp.State.CONFIRMED)
        return self.annotate(
            water_count=Count("sign_ups", filter=confirmed & Q(sign_ups__place=SignUp.Place.WATER)),
            land_count=Count("sign_ups", filter=confirmed & Q(sign_ups__place=SignUp.Place.LAND)),
            waiting_count=Count("sign_ups", filter=Q(sign_ups__state__in=[SignUp.State.WAITING, SignUp.State.OFFERED])),
        )


class WorkDay(models.Model):
    """A day of cutting on one stand, posted by an organizer."""

    class Status(models.TextChoices):
        POSTED = "posted", _("posted")
        CANCELLED = "cancelled", _("cancelled")
        CLOSED = "closed", _("closed")

    stand = models.ForeignKey(Stand, on_delete=models.PROTECT, related_name="work_days", verbose_name=_("stand"))
    zones = models.ManyToManyField(Zone, related_name="work_days", verbose_name=_("zones"))
    title = models.CharField(_("title"), max_length=80)
    date = models.DateField(_("date"), editable=False)  # the site's date of the start
    starts_at = models.DateTimeField(_("start"))
    ends_at = models.DateTimeField(_("end"))
    water_places = models.PositiveSmallIntegerField(_("places in water"), validators=[MaxValueValidator(MOST_PLACES)])
    land_places = models.PositiveSmallIntegerField(_("places on land"), validators=[MaxValueValidator(MOST_PLACES)])
    note = models.TextField(_("what to know"), blank=True)
    what_to_bring = models.TextField(_("what to bring"), blank=True)
    window_reason = models.TextField(_("reason for working outside the permitted weeks"), blank=True)
    window_permit = models.CharField(_("permit that allows it"), max_length=160, blank=True)
    forecast_temp_c = models.DecimalField(_("forecast: air, °C"), max_digits=4, decimal_places=1, null=True, blank=True)
    forecast_rh_percent = models.PositiveSmallIntegerField(
        _("forecast: relative humidity, %"), null=True, blank=True, validators=[MaxValueValidator(100)]
    )
    forecast_wind_km_h = models.DecimalField(
        _("forecast: wind, km/h"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    forecast_water_temp_c = models.DecimalField(
        _("forecast: water, °C"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    status = models.CharField(max_length=9, choices=Status.choices, default=Status.POSTED, editable=False)
    cancel_reason = models.TextField(_("why the day is cancelled"), blank=True, editable=False)
    share_code = models.CharField(max_length=10, unique=True, default=new_share_code, editable=False)
    posted_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+", editable=False)
    posted_at = models.DateTimeField(editable=False)
    submission = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)  # of the form that posted the day
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["WorkDay"]] = WorkDayQuerySet.as_manager()

    class Meta:
        verbose_name = _("work day")
        verbose_name_plural = _("work days")
        ordering = ["-starts_at", "-pk"]
        indexes = [models.Index(fields=["status", "starts_at"], name="workdays_day_by_time")]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gt=F("starts_at")),
                name="workdays_day_ends_after_start",
                violation_error_message=_("The day must end after it starts."),
            )
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("workdays:day", args=[self.group.slug, self.pk])

    def get_public_url(self) -> str:
        return reverse("workdays:public", args=[self.share_code])

    @property
    def group(self) -> Group:
        return self.stand.site.group

    @property
    def zone_info(self) -> ZoneInfo:
        return self.stand.site.zone_info

    @property
    def is_open(self) -> bool:
        return self.status == self.Status.POSTED

    def has_ended(self, now: datetime.datetime) -> bool:
        return now >= self.ends_at

    def ask_open(self, now: datetime.datetime) -> None:
        """Raises DayNotOpen for a day that is closed or cancelled, DayOver for one that has ended."""
        if not self.is_open:
            raise errors.DayNotOpen(status=self.get_status_display())
        if self.has_ended(now):
            raise errors.DayOver

    def places(self, place: str) -> int:
        return self.water_places if place == SignUp.Place.WATER else self.land_places


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """How a day stands for somebody who comes to it."""

    last_number: int  # of the latest arrival, 0 before the first
    taken: int  # places of the kind that nobody else can have
    to_ask: int  # who is asked for such a place before anybody else gets one
    standing: int | None  # key of the sign-up that the member has already


class SignUpQuerySet(models.QuerySet["SignUp"]):
    def active(self) -> Self:
        """Confirmed or waiting."""
        return self.filter(_ACTIVE)

    def confirmed(self) -> Self:
        return self.filter(state=SignUp.State.CONFIRMED)

    def expected(self) -> Self:
        """Confirmed and not marked as absent: whom a plan counts on. Not signed in yet is not absent."""
        return self.confirmed().exclude(outcome=SignUp.Outcome.ABSENT)

    def waiting(self) -> Self:
        """The waiting list in its order."""
        return self.filter(state=SignUp.State.WAITING).order_by("number")

    def offered(self) -> Self:
        """Of the waiting list, who is asked whether they take a place."""
        return self.filter(state=SignUp.State.OFFERED)

    def holding(self) -> Self:
        """Whom a place is kept for: confirmed, or asked and still in time."""
        return self.filter(state__in=[SignUp.State.CONFIRMED, SignUp.State.OFFERED])

    def taking_places(self) -> Self:
        """Whose places nobody else can have: those whom one is kept for and who were not marked as absent."""
        return self.filter(_TAKING_PLACE)

    def to_ask(self) -> Self:
        """Who is asked when a place is free, the next first: not again those who let an offer lapse."""
        return self.filter(_TO_ASK).order_by("number")

    def met_by(self, member: Member, *, place: str) -> "Met":
        """What a member who comes to a day for this kind of place meets; counted in one query."""
        of_place = Q(place=place)
        return Met(
            **self.aggregate(
                last_number=Coalesce(Max("number"), 0),
                taken=Count("pk", filter=of_place & _TAKING_PLACE),
                to_ask=Count("pk", filter=of_place & _TO_ASK),
                standing=Max("pk", filter=Q(member=member) & _ACTIVE),
            )
        )

    def coming(self, now: datetime.datetime) -> Self:
        """On posted days that have not ended."""
        return self.filter(day__status=WorkDay.Status.POSTED, day__ends_at__gt=now)

    def water_days(self) -> Self:
        """Sign-ups that became a day of work in water: a person's experience (design, H2)."""
        return self.filter(outcome=SignUp.Outcome.WATER)

    def for_roster(self) -> Self:
        return self.select_related("member__profile", "member__account", "member__guardian__account")


class SignUp(models.Model):
    """One person on one work day: a place, or a place on the waiting list."""

    class Place(models.TextChoices):
        WATER = "water", _("in water")
        LAND = "land", _("on land")

    class State(models.TextChoices):
        CONFIRMED = "confirmed", _("confirmed")
        WAITING = "waiting", _("on the waiting list")
        OFFERED = "offered", _("asked to take a place")
        WITHDRAWN = "withdrawn", _("withdrawn")

    class Outcome(models.TextChoices):
        UNKNOWN = "", _("not known yet")
        WATER = "water", _("worked in water")
        LAND = "land", _("worked on land")
        ABSENT = "absent", _("did not come")

    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="sign_ups")
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="sign_ups")
    place = models.CharField(_("place"), max_length=5, choices=Place.choices)
    state = models.CharField(_("state"), max_length=9, choices=State.choices)
    number = models.PositiveIntegerField(editable=False)  # order of arrival on the day; the waiting list follows it
    outcome = models.CharField(max_length=6, choices=Outcome.choices, blank=True, default=Outcome.UNKNOWN)
    signed_up_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    signed_up_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    offer_until = models.DateTimeField(null=True, blank=True)  # until when a place that is offered is kept
    offer_lapsed_at = models.DateTimeField(null=True, blank=True)  # when an offer was not answered in time

    objects: ClassVar[models.Manager["SignUp"]] = SignUpQuerySet.as_manager()

    class Meta:
        verbose_name = _("sign-up")
        verbose_name_plural = _("sign-ups")
        ordering = ["number", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "member"],
                condition=~Q(state="withdrawn"),
                name="workdays_sign_up_once",
                violation_error_message=_("This person has signed up for the day already."),
            ),
            models.UniqueConstraint(fields=["day", "number"], name="workdays_sign_up_number_once"),
            models.CheckConstraint(
                condition=Q(state="offered", offer_until__isnull=False) | (~Q(state="offered") & Q(offer_until=None)),
                name="workdays_offer_has_an_end",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.member}: {self.state}"


class DayMarkQuerySet(models.QuerySet["DayMark"]):
    def open(self) -> Self:
        """Marks that no organizer has looked at yet."""
        return self.filter(seen_at=None)

    def of_days_to_come(self, now: datetime.datetime) -> Self:
        return self.filter(day__status=WorkDay.Status.POSTED, day__ends_at__gt=now)

    def with_day(self) -> Self:
        return self.select_related("day__stand__site__group", "seen_by")


class DayMark(models.Model):
    """Something changed under a posted day, so that what people were told may no longer hold: plan it again.

    A plan that is made by itself does not take the mark away: an organizer looks and says so. What comes before that
    is added to the same mark.
    """

    class Code(models.TextChoices):
        WATER = "water", _("water or zones changed")
        SEASON = "season", _("the calendar of the site changed")

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="marks")
    code = models.CharField(max_length=6, choices=Code.choices)
    reasons = models.JSONField(default=list)  # code and values of trade.reasons, the earliest first
    since = models.DateTimeField()
    changed_at = models.DateTimeField()  # of the latest reason
    seen_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    seen_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["DayMark"]] = DayMarkQuerySet.as_manager()

    class Meta:
        verbose_name = _("mark of a day")
        verbose_name_plural = _("marks of days")
        ordering = ["-since", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["day", "code"], condition=Q(seen_at=None), name="workdays_mark_one_open"),
            models.CheckConstraint(
                condition=Q(seen_at=None, seen_by=None) | Q(seen_at__isnull=False, seen_by__isnull=False),
                name="workdays_mark_seen_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.day_id}: {self.code}"

    @property
    def why(self) -> list[Reason]:
        """The reasons as pages show them."""
        return [from_record(each) for each in self.reasons]
