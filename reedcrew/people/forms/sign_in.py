"""The one form of the sign-in page."""

import logging
from typing import Any

from allauth.account.forms import ConfirmLoginCodeForm, RequestLoginCodeForm
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from reedcrew.people import security_log
from reedcrew.people.models import Account
from reedcrew.people.services import account_for
from reedcrew.web.forms import AddressField


class SignInForm(RequestLoginCodeForm):  # type: ignore[misc]  # allauth has no types
    """Asks for an address and leads to the page for the mailed code, whether or not the address had an account.

    Named by the setting ACCOUNT_FORMS. allauth's own limits on requests for codes stand before an account is made.
    """

    _user: Account | None

    email = AddressField(
        label=_("Email address"),
        help_text=_("We mail you a code to sign in with. There is no password, and nothing else to fill in first."),
    )

    def clean_email(self) -> str:
        """The address in lower case. allauth reads ``_user`` when it mails the code and offers no later place."""
        email: str = super().clean_email().strip().lower()
        account = account_for(email=email, now=timezone.now())
        if self._user is None and account.is_active:
            self._user = account
        return email


class CodeForm(ConfirmLoginCodeForm):  # type: ignore[misc]  # allauth has no types
    """Takes the mailed code; a wrong one is noted in the security log. Named by the setting ACCOUNT_FORMS."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # A phone offers the code of the mail itself, or takes it pasted; typed, it need not be shifted or corrected.
        self.fields["code"].widget.attrs |= {
            "autocapitalize": "characters",
            "autocorrect": "off",
            "spellcheck": "false",
        }

    def clean_code(self) -> str:
        try:
            code: str = super().clean_code()
        except ValidationError:
            security_log.note("wrong sign-in code", logging.WARNING)
            raise
        return code
