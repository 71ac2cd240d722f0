"""The form with which somebody adds a passkey."""

from typing import Any

from allauth.mfa.webauthn.forms import AddWebAuthnForm
from django.utils.translation import gettext_lazy as _


class KeyForm(AddWebAuthnForm):  # type: ignore[misc]  # allauth has no types
    """allauth's own, whose field for the name has no label in the reader's language."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].label = _("Name")
