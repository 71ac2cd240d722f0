"""Forms of the briefing and of the water."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.briefing_list import TITLES
from reedcrew.fieldbook.forms.entry import EntryForm
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.models import Member
from reedcrew.stands.models import Zone
from reedcrew.trade.briefing import Item
from reedcrew.web.forms import CountField, RowsField, SiteTimeField
from reedcrew.workdays.models import MOST_PLACES, WorkDay


def people_on_site(day: WorkDay) -> Any:
    """Who is signed in on the day, by name."""
    here = Attendance.objects.on_site().filter(day=day).values("member")
    return Member.objects.filter(pk__in=here).order_by("name", "pk")


class BriefingForm(forms.Form):
    """What was gone through, and who heard it."""

    items = forms.MultipleChoiceField(
        label=_("Gone through"),
        choices=[(item.value, TITLES[item]) for item in Item],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    members = RowsField(
        label=_("Who heard it?"), queryset=Member.objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, day: WorkDay, heard: set[int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.people = people_on_site(day).exclude(pk__in=heard)
        self.fields["members"].queryset = self.people  # type: ignore[attr-defined]  # of the field's own class
        self.initial.setdefault("members", list(self.people))


class PlaceForm(forms.Form):
    """People who go into the water of one zone."""

    zone = forms.ModelChoiceField(queryset=Zone.objects.none())
    members = RowsField(queryset=Member.objects.none())
    at = SiteTimeField(label=_("Time"), required=False)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].queryset = day.zones.all()  # type: ignore[attr-defined]  # of the field's own class
        self.fields["members"].queryset = Member.objects.filter(group=day.group)  # type: ignore[attr-defined]  # as above
        self.fields["at"].zone = day.zone_info  # type: ignore[attr-defined]  # SiteTimeField


class GoInForm(PlaceForm):
    """A unit of the plan: its people and place stand hidden on its card."""

    unit_number = forms.IntegerField(required=False, min_value=1, max_value=200)


class PairForm(PlaceForm):
    """People who are put together at the landing."""

    zone = forms.ModelChoiceField(label=_("Zone"), queryset=Zone.objects.none(), empty_label=None)
    members = RowsField(
        label=_("Two people, or three"), queryset=Member.objects.none(), widget=forms.CheckboxSelectMultiple
    )
    at = SiteTimeField(label=_("Time"), required=False, help_text=_("Empty means now."))

    def __init__(self, *args: Any, day: WorkDay, people: list[Member], **kwargs: Any) -> None:
        super().__init__(*args, day=day, **kwargs)
        able = Member.objects.filter(pk__in=[member.pk for member in people]).order_by("name", "pk")
        self.fields["members"].queryset = able  # type: ignore[attr-defined]  # as above


class ComeOutForm(forms.Form):
    """Who came out, and when."""

    members = RowsField(queryset=Member.objects.none())
    at = SiteTimeField(label=_("Time"), required=False)

    def __init__(self, *args: Any, day: WorkDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["members"].queryset = Member.objects.filter(group=day.group)  # type: ignore[attr-defined]  # as above
        self.fields["at"].zone = day.zone_info  # type: ignore[attr-defined]  # SiteTimeField


class SeenForm(EntryForm):
    """How many people somebody counted."""

    seen = CountField(label=_("How many do you see?"), max_value=MOST_PLACES)
