"""Entries from phones that a person should look at, and the clocks of the phones."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import services
from reedcrew.fieldbook.forms.closing import SettleForm
from reedcrew.fieldbook.models import Submission
from reedcrew.fieldbook.sent_words import entries_to_look_at, phones_of
from reedcrew.fieldbook.views.strikes import may_read_incidents
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.RUN_DAY)
def phones(request: GroupRequest, pk: int) -> HttpResponse:
    """Conflicts with both versions, refused entries with the reason, and what was done about them."""
    day, now = fetch_day(request, pk), timezone.now()
    form = SettleForm(request.POST or None)
    if request.method == "POST":
        key = request.POST.get("sent", "")
        waiting = Submission.objects.filter(day=day, settled_at=None).exclude(outcome=Submission.Outcome.TAKEN)
        sent = get_object_or_404(waiting, pk=int(key) if key.isdecimal() and len(key) < 19 else 0)
        if form.is_valid():
            services.settle_entry(sent=sent, note=form.cleaned_data["note"], actor=request.user, now=now)
            messages.success(request, _("Noted: this entry is dealt with."))
            return redirect("fieldbook:phones", request.group.slug, day.pk)
        messages.error(request, _("Write what you did about it."))
    private = may_read_incidents(request, day)
    context = {
        "day": day,
        "waiting": entries_to_look_at(day, private=private),
        "settled": entries_to_look_at(day, private=private, settled=True),
        "phones": phones_of(day),
        "form": SettleForm(),
    }
    return render(request, "fieldbook/phones.html", context)
