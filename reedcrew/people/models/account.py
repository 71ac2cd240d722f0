from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class AccountManager(BaseUserManager["Account"]):
    """Accounts have an address and no password."""

    def create_user(self, email: str, **fields: Any) -> "Account":
        account = self.model(email=email.strip().lower(), **fields)
        account.set_unusable_password()
        account.save(using=self._db)
        return account

    def get_by_natural_key(self, username: str | None) -> "Account":
        return self.get(email__iexact=username)


class Units(models.TextChoices):
    """In which units somebody reads amounts. What is entered and what is decided stays metric."""

    METRIC = "metric", _("Metric")
    WITH_CUSTOMARY = "with_customary", _("Metric and US customary")


class Account(AbstractBaseUser):
    """Someone who can sign in. What a group knows of them is a Member of that group."""

    email = models.EmailField(_("email address"), unique=True)
    language = models.CharField(
        _("language"), max_length=8, blank=True
    )  # of settings.LANGUAGES; "" until one is chosen
    units = models.CharField(_("units"), max_length=16, choices=Units, default=Units.METRIC)
    is_active = models.BooleanField(_("may sign in"), default=True)
    is_operator = models.BooleanField(_("runs this installation"), default=False)  # set by manage.py operator
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)  # since then the address is nobody's
    created_at = models.DateTimeField(_("created at"), default=timezone.now, editable=False)

    objects: ClassVar[AccountManager] = AccountManager()

    EMAIL_FIELD = "email"
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        verbose_name = _("account")
        verbose_name_plural = _("accounts")
        constraints = [
            models.UniqueConstraint(Lower("email"), name="people_account_email_once", violation_error_code="unique"),
        ]

    def __str__(self) -> str:
        return self.email
