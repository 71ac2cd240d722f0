import datetime
import secrets
from typing import ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from reedcrew.people.fields import EncryptedTextField
from reedcrew.people.models.account import Account
from reedcrew.people.models.group import Group
from reedcrew.people.roles import Deed, Role, may
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.sizes import BOOT_EU_MAX, BOOT_EU_MIN, HAND_MM_MAX, HAND_MM_MIN
from reedcrew.trade.water import STATURE_CM_MAX, STATURE_CM_MIN

ADULT_AGE_YEARS = 18  # design, hard rule H3
CODE_ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # without letters and digits that are read for one another


def new_code() -> str:
    """A code of 8 signs that stands for a person where a name must not."""
    return "".join(secrets.choice(CODE_ALPHABET) for _i in range(8))


class MemberQuerySet(models.QuerySet["Member"]):
    def current(self) -> Self:
        """People who have not left the group."""
        return self.filter(left_at=None)

    def of_account(self, account: Account) -> Self:
        return self.filter(account=account)

    def former(self, group: Group, account: Account) -> "Member | None":
        """The latest membership of an account that has left the group."""
        return self.of_account(account).filter(group=group, left_at__isnull=False).order_by("-left_at", "-pk").first()

    def named_like(self, words: str) -> Self:
        """People whose name contains every one of the words; all when there are none."""
        found = self
        for word in words.split():
            found = found.filter(name__icontains=word)
        return found

    def in_care_of(self, member: "Member") -> Self:
        """The member and everyone whose guardian they are: those for whom they may sign up."""
        return self.filter(Q(pk=member.pk) | Q(guardian=member))

    def in_care_of_account(self, account: Account) -> Self:
        """The account's own members and the children whose guardian signs in with it."""
        return self.filter(Q(account=account) | Q(guardian__account=account))

    def with_profile(self) -> Self:
        return self.select_related("profile", "account", "guardian", "guardian__account")


class Member(models.Model):
    """A person as one group knows them. A child has no account and is reached through the guardian."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="members")
    account = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="memberships")
    name = models.CharField(_("name"), max_length=80)
    role = models.CharField(_("role"), max_length=12, choices=Role.choices, default=Role.VOLUNTEER)
    guardian = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="children", verbose_name=_("guardian")
    )
    trained_lead = models.BooleanField(_("trained crew lead"), default=False)
    code = models.CharField(max_length=8, default=new_code, editable=False)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)
    left_at = models.DateTimeField(null=True, blank=True, editable=False)
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)  # since then the name is the code

    objects: ClassVar[models.Manager["Member"]] = MemberQuerySet.as_manager()

    class Meta:
        verbose_name = _("member")
        verbose_name_plural = _("members")
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["group", "account"],
                condition=Q(left_at=None),
                name="people_member_account_once",
                violation_error_message=_("This account is a member of the group already."),
            ),
            models.UniqueConstraint(fields=["group", "code"], name="people_member_code_once"),
            models.CheckConstraint(condition=~Q(guardian=F("pk")), name="people_member_not_own_guardian"),
            models.CheckConstraint(
                condition=Q(erased_at=None) | Q(left_at__isnull=False, account=None, guardian=None, name=F("code")),
                name="people_member_erased_whole",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def given_name(self) -> str:
        """The first word of the name: what a partner is told."""
        return self.name.split()[0] if self.name.split() else self.name

    @property
    def mail_account(self) -> Account | None:
        """Whose mailbox hears of this person: their own or their guardian's."""
        return self.account or (self.guardian.account if self.guardian else None)

    def may(self, deed: Deed) -> bool:
        return self.left_at is None and may(self.role, deed)


class Profile(models.Model):
    """What a volunteer told of themselves. Everything but ``adult`` may be missing: unknown keeps out of the water."""

    member = models.OneToOneField(Member, on_delete=models.CASCADE, related_name="profile")
    adult = models.BooleanField(_("18 or older"), default=False)
    born_on = models.DateField(_("date of birth"), null=True, blank=True)
    languages = models.JSONField(_("languages"), default=list, blank=True)  # ISO 639-1 codes, sorted
    phone = models.CharField(_("phone"), max_length=30, blank=True)
    first_aid_until = models.DateField(_("first-aid certificate valid until"), null=True, blank=True)
    water_ready = models.BooleanField(_("willing and able to work in water"), default=False)
    stature_cm = models.PositiveSmallIntegerField(
        _("height in cm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(STATURE_CM_MIN), MaxValueValidator(STATURE_CM_MAX)],
    )
    jacket_class = models.CharField(
        _("body mass"), max_length=8, blank=True, choices=[(c.value, c.value) for c in JacketClass]
    )
    boot_eu = models.DecimalField(
        _("boot size, EU"),
        max_digits=3,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(BOOT_EU_MIN), MaxValueValidator(BOOT_EU_MAX)],
    )
    hand_mm = models.PositiveSmallIntegerField(
        _("hand circumference in mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(HAND_MM_MIN), MaxValueValidator(HAND_MM_MAX)],
    )
    own_gear = models.JSONField(_("own gear"), default=list, blank=True)  # values of trade.items.Item, sorted
    earlier_water_days = models.PositiveSmallIntegerField(
        _("days worked in water before joining, as the organizer confirmed"), default=0
    )
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        verbose_name = _("profile")
        verbose_name_plural = _("profiles")
        constraints = [
            models.CheckConstraint(
                condition=Q(boot_eu=None) | Q(boot_eu__gte=BOOT_EU_MIN, boot_eu__lte=BOOT_EU_MAX),
                name="people_profile_boot_in_range",
            ),
        ]

    def __str__(self) -> str:
        return str(self.member)

    def adult_on(self, day: datetime.date) -> bool:
        """Whether the person is 18 or older on that day. Someone born on 29 February comes of age on 1 March."""
        if self.born_on is None:
            return self.adult
        born = self.born_on
        return (day.year - ADULT_AGE_YEARS, day.month, day.day) >= (born.year, born.month, born.day)

    def first_aider_on(self, day: datetime.date) -> bool:
        return self.first_aid_until is not None and self.first_aid_until >= day

    def owns(self, item: Item) -> bool:
        return item.value in self.own_gear


class Wish(models.Model):
    """Whom a person asks to work with, or to be kept apart from. The latter is private to organizers."""

    class Kind(models.TextChoices):
        TOGETHER = "together", _("work together")
        APART = "apart", _("keep apart")

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="wishes")
    other = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="wished_by")
    kind = models.CharField(max_length=8, choices=Kind.choices)

    objects: ClassVar[models.Manager["Wish"]] = models.Manager()

    class Meta:
        verbose_name = _("wish")
        verbose_name_plural = _("wishes")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["member", "other"],
                name="people_wish_once",
                violation_error_message=_("You can ask to work with somebody or to be kept apart from them, not both."),
            ),
            models.CheckConstraint(condition=~Q(member=F("other")), name="people_wish_of_another"),
        ]

    def __str__(self) -> str:
        return f"{self.member_id} {self.kind} {self.other_id}"


class PrivateRecord(models.Model):
    """Emergency contact and health note, apart from the profile so that no list reads them by accident."""

    member = models.OneToOneField(Member, on_delete=models.CASCADE, related_name="private")
    emergency_name = EncryptedTextField(_("emergency contact: name"), blank=True)
    emergency_phone = EncryptedTextField(_("emergency contact: phone"), blank=True)
    health_note = EncryptedTextField(_("health note"), blank=True)
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        verbose_name = _("private record")
        verbose_name_plural = _("private records")

    def __str__(self) -> str:
        return f"private record {self.pk}"
