"""A field for several photos, written anew before anybody keeps them."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from reedcrew.web.photos import FORMATS, Photo, PhotoRefused, read_photo

PHOTOS_MAX = 8  # of one form (convention)


class PhotosInput(forms.FileInput):
    """The browser's own choice of files, several at once; phones offer the camera."""

    allow_multiple_selected = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        return files.getlist(name)

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return name not in files


class PhotosField(forms.Field):
    """Gives a list of web.photos.Photo, in the order they were chosen; each refusal names its file.

    Browsers never keep chosen files on a form that is shown again: forms say so where they have other fields.
    """

    widget = PhotosInput
    default_error_messages = {
        "required": _("Choose at least one photo."),
        "too_many": _("These are %(count)s photos. Send at most %(limit)s at once."),
    }

    def __init__(self, *, limit: int = PHOTOS_MAX, **kwargs: Any) -> None:
        self.limit = limit
        types = ",".join(f"image/{name.lower()}" for name in FORMATS)
        kwargs.setdefault("widget", PhotosInput(attrs={"accept": types}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> list[Photo]:
        """The photos, read. Raises ValidationError with one sentence for each that cannot be taken."""
        files: Sequence[Any] = value or ()
        if not files and self.required:
            raise ValidationError(self.error_messages["required"], code="required")
        if len(files) > self.limit:
            counts = {"count": len(files), "limit": self.limit}
            raise ValidationError(self.error_messages["too_many"], code="too_many", params=counts)
        photos, wrong = [], []
        for file in files:
            try:
                photos.append(read_photo(file, name=file.name))
            except PhotoRefused as error:
                wrong.append(ValidationError(str(error), code=error.code))
        if wrong:
            raise ValidationError(wrong)
        return photos

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(data)
