"""The form of what a group publishes."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models import BLURRINGS, LICENCES, Licence, OpenDataChoice
from reedcrew.trade.blurring import Blurring
from reedcrew.web.forms import StaleCheckMixin


class OpenDataForm(StaleCheckMixin):
    """Whether, under which licence, and how exact."""

    published = forms.BooleanField(
        label=_("Publish: members can take the files and pass them on"),
        required=False,
        help_text=_("What was taken once cannot be called back, also when the group later stops publishing."),
    )
    licence = forms.ChoiceField(
        label=_("Licence"),
        choices=LICENCES,
        widget=forms.RadioSelect,
        help_text=_("Ask whoever owns the land and whoever pays for the work: a grant may ask for a certain licence."),
    )
    blurring = forms.ChoiceField(
        label=_("Positions of stands"),
        choices=BLURRINGS,
        widget=forms.RadioSelect,
        help_text=_(
            "Blurred stands are points in a grid, without outlines and names of places. The native reed, private land "
            "or nests may ask for it."
        ),
    )

    def __init__(self, *args: Any, choice: OpenDataChoice, **kwargs: Any) -> None:
        initial = {name: getattr(choice, name) for name in ("published", "licence", "blurring")}
        version = choice.version if choice.pk else 0
        super().__init__(*args, initial=initial, current_version=version, **kwargs)

    def values(self) -> dict[str, Any]:
        """The choice as the service takes it; call it on a valid form."""
        cleaned = self.cleaned_data
        return {
            "published": cleaned["published"],
            "licence": Licence(cleaned["licence"]),
            "blurring": Blurring(cleaned["blurring"]),
            "version": int(cleaned["version"]),
        }
