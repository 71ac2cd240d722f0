"""Forms of decisions about which reed a stand is."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models import IdentificationDecision, Stand
from reedcrew.stands.queries import checks_of
from reedcrew.trade.identification import Authority, Identification
from reedcrew.web.forms import RowsField, StaleCheckMixin, SubmissionMixin
from reedcrew.web.lengths import length_of
from reedcrew.web.times import day_text

REASON_LENGTH = 2000  # characters (convention)


class _ChecksField(RowsField):
    """Checks of one stand, each named by its day, its finding and who made it."""

    def label_from_instance(self, obj: Any) -> str:
        return ", ".join(filter(None, (day_text(obj.checked_on), obj.get_result_display(), obj.recorded_by)))


class DecisionForm(SubmissionMixin, StaleCheckMixin):
    """Which reed a stand is, by an organizer.

    ``current_version`` is the key of the latest check: a check that came meanwhile makes the form stale.
    """

    result = forms.TypedChoiceField(
        label=_("Which reed it is"),
        choices=Stand.IDENTIFICATIONS[1:],
        coerce=Identification,
        widget=forms.RadioSelect,
        help_text=_("Only “introduced” opens the stand for work days. “Native” and “not sure” protect it."),
    )
    field_order = ("result", "checks", "authority", "authority_name", "reason")
    authority = forms.TypedChoiceField(
        label=_("What it rests on"),
        choices=IdentificationDecision.Basis.choices,
        coerce=Authority,
        initial=Authority.FINDINGS.value,
        widget=forms.RadioSelect,
        help_text=_("A genetic test or a qualified person settles what checks found before."),
    )
    authority_name = forms.CharField(
        label=_("Name of the test and laboratory, or of the person"),
        required=False,
        max_length=length_of(IdentificationDecision, "authority_name"),
    )
    reason = forms.CharField(
        label=_("Reason"),
        max_length=REASON_LENGTH,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("In a sentence or two, for whoever asks in some years."),
    )

    def __init__(self, *args: Any, stand: Stand, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        checks = checks_of(stand)
        self.fields["checks"] = _ChecksField(
            queryset=checks,
            label=_("Checks on which it rests"),
            required=False,
            widget=forms.CheckboxSelectMultiple,
        )
        if not checks:
            del self.fields["checks"]
        self.order_fields(self.field_order)

    @property
    def facts(self) -> dict[str, Any]:
        """What the service takes, after validation."""
        names = ("result", "authority", "authority_name", "reason", "submission")
        kept = {name: self.cleaned_data[name] for name in names}
        return {**kept, "checks": list(self.cleaned_data.get("checks", ())), "known": int(self.current_version)}
