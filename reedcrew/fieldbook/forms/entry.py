"""What every form has that writes an entry."""

import uuid

from django import forms


class EntryForm(forms.Form):
    """Carries the id that the entry will have: two presses are one."""

    entry_id = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4, required=False)
