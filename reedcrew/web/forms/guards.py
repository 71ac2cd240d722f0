"""Guards against two mishaps of shared work: saving over someone else's change, and sending a form twice."""

from typing import Any, NamedTuple
from uuid import uuid4

from django import forms
from django.http import QueryDict
from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _


class SavedValue(NamedTuple):
    """What is stored now in a field where this form says something else."""

    label: str | Promise
    saved: object


class StaleCheckMixin(forms.Form):
    """Refuses once to save over a change that was made since the form was opened; nothing that was entered is lost.

    The view gives ``current_version`` (a counter or a time stamp of the row as it is now, the form's ``initial`` being
    that row's values) and ``last_change``, who changed it and when, in words. A form sent with another version gets an
    error, and ``saved_meanwhile`` lists what is stored now; sending it again is then a decision made with both in view.
    The service still compares ``cleaned_data["version"]`` under its lock.
    """

    version = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, current_version: object, last_change: str | Promise = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.current_version = str(current_version)
        self.last_change = last_change
        self.stale = False
        self.initial["version"] = self.current_version

    def clean(self) -> dict[str, Any] | None:
        """Compare the version that was opened with the row's."""
        cleaned = super().clean()
        if self.cleaned_data.get("version", "") != self.current_version:
            self.stale = True
            self.add_error(None, self._what_happened())
            # The next attempt is made knowing the present state, so it carries the present version.
            data = QueryDict(mutable=True)
            data.update(self.data)
            data[self.add_prefix("version")] = self.current_version
            self.data = data
        return cleaned

    def _what_happened(self) -> str:
        if self.last_change:
            return gettext(
                "This was changed since you opened it (%(change)s). Your entries are kept; compare them with what is "
                "saved now, then save again."
            ) % {"change": self.last_change}
        return gettext(
            "This was changed since you opened it. Your entries are kept; compare them with what is saved now, then "
            "save again."
        )

    @property
    def saved_meanwhile(self) -> list[SavedValue]:
        """Fields whose stored value differs from what was entered; empty unless the form is stale."""
        if not self.stale:
            return []
        return [
            SavedValue(field.label, _as_shown(field))
            for field in self.visible_fields()
            if field.field.has_changed(field.initial, field.data)
        ]


def _as_shown(field: forms.BoundField) -> object:
    """The stored value as its field would show it, in the words of its choices where it has any."""
    choices = getattr(field.field, "choices", None)
    if choices is not None:
        stored = (
            {str(value) for value in field.initial} if isinstance(field.initial, list | tuple) else {str(field.initial)}
        )
        words = [str(label) for value, label in choices if str(value) in stored]
        return ", ".join(words)
    return field.field.prepare_value(field.initial)


class SubmissionMixin(forms.Form):
    """Carries one token from the form that was opened to the row that it makes, so that a double press makes one row.

    The service stores ``cleaned_data["submission"]`` (a UUID) in a column with a unique constraint and, finding it
    there already, returns the row of the first arrival. Every view redirects after a post: a reload sends nothing.
    """

    submission = forms.UUIDField(
        widget=forms.HiddenInput,
        initial=uuid4,
        error_messages={
            "required": _("This form came without its token. Open the page again."),
            "invalid": _("This form came with a broken token. Open the page again."),
        },
    )
