"""What this site decides of allauth's sign-in."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]  # allauth has no types
    """Nobody signs up with a form of their own: the sign-in page makes an account for an address it does not know."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Accounts have no user name."""
