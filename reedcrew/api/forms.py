"""Forms of tokens and webhooks."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.api.models import ApiToken, Event
from reedcrew.api.models.webhooks import URL_LENGTH
from reedcrew.api.scopes import Scope, scopes_of
from reedcrew.api.services.webhooks import CHOOSABLE
from reedcrew.web.forms import SubmissionMixin
from reedcrew.web.lengths import length_of

# Days that a token may hold (convention): it ends by itself where nobody remembers it.
LIFETIMES = [("30", _("30 days")), ("90", _("90 days")), ("365", _("one year")), ("730", _("two years"))]


class TokenForm(SubmissionMixin):
    """What a token is called, what it opens and for how long."""

    name = forms.CharField(
        label=_("For which program"),
        max_length=length_of(ApiToken, "name"),
        help_text=_("So that you know which one to revoke: “map of our website”, “report of the foundation”."),
    )
    scopes = forms.MultipleChoiceField(
        label=_("What it may read"),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Give no more than the program needs. A token never reads what you may not read yourself."),
    )
    days = forms.TypedChoiceField(label=_("How long it holds"), choices=LIFETIMES, coerce=int, initial="365")

    def __init__(self, *args: Any, role: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        scopes = self.fields["scopes"]
        if isinstance(scopes, forms.MultipleChoiceField):
            scopes.choices = [(scope.value, scope.label) for scope in scopes_of(role)]

    def values(self, now: datetime.datetime) -> dict[str, Any]:
        """What was asked for, as the service takes it; call it on a valid form."""
        cleaned = self.cleaned_data
        return {
            "name": cleaned["name"],
            "scopes": [Scope(value) for value in cleaned["scopes"]],
            "expires_at": now + datetime.timedelta(days=cleaned["days"]),
            "submission": cleaned["submission"],
        }


class WebhookForm(SubmissionMixin):
    """Where messages go, and which."""

    url = forms.CharField(
        label=_("Address of the program"),
        max_length=URL_LENGTH,
        widget=forms.URLInput(attrs={"autocomplete": "off", "placeholder": "https://"}),
        help_text=_("An https address on the public network. Each message is posted to it."),
    )
    events = forms.MultipleChoiceField(
        label=_("What it is told of"),
        choices=[(event.value, event.label) for event in CHOOSABLE],
        widget=forms.CheckboxSelectMultiple,
    )

    def values(self) -> dict[str, Any]:
        """What was asked for, as the service takes it; call it on a valid form."""
        cleaned = self.cleaned_data
        return {
            "url": cleaned["url"],
            "events": [Event(value) for value in cleaned["events"]],
            "submission": cleaned["submission"],
        }
