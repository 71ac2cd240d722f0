"""What this site decides of allauth's sign-in."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest

from reedcrew.web.forms import AddressField


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]  # allauth has no types
    """Nobody signs up with a form of their own: the sign-in page makes an account for an address it does not know."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def clean_email(self, email: str) -> str:
        """The address, also of allauth's own forms. Raises ValidationError for one that no mail reaches."""
        return AddressField().clean(super().clean_email(email))

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Accounts have no user name."""
