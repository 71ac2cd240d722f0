"""A field for one file that shows hours: a PDF as it is, or a photo written anew."""

import secrets
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.utils.translation import gettext_lazy as _

from reedcrew.web.photos import FILE_BYTES_MAX, PhotoRefused, read_photo

_MEGABYTE = 1024 * 1024


class EvidenceField(forms.FileField):
    """Gives a ContentFile under a name that nobody guesses, or None. Browsers never keep a chosen file: a form that is
    shown again asks for it anew."""

    default_error_messages = {
        "too_large": _("This file has %(mb)d MB. Send at most %(limit)d MB."),
        "unknown": _("Send a PDF file, or a photo as JPEG, PNG or WebP."),
    }

    def __init__(self, **kwargs: Any) -> None:
        accepted = "application/pdf,image/jpeg,image/png,image/webp"
        kwargs.setdefault("widget", forms.FileInput(attrs={"accept": accepted}))
        super().__init__(**kwargs)

    def clean(self, data: Any, initial: Any = None) -> "ContentFile[bytes] | None":
        """The file. Raises ValidationError for one that is too large, or neither a PDF nor a photo."""
        file = super().clean(data, initial)
        if not file:
            return None
        if file.size > FILE_BYTES_MAX:
            sizes = {"mb": file.size // _MEGABYTE, "limit": FILE_BYTES_MAX // _MEGABYTE}
            raise ValidationError(self.error_messages["too_large"], code="too_large", params=sizes)
        code = secrets.token_hex(16)
        if file.read(5) == b"%PDF-":  # ISO 32000: a PDF begins so
            file.seek(0)
            return ContentFile(file.read(), name=f"{code}.pdf")
        file.seek(0)
        try:
            return ContentFile(read_photo(file, name=file.name).jpeg, name=f"{code}.jpg")
        except PhotoRefused as error:
            raise ValidationError(self.error_messages["unknown"], code="unknown") from error
