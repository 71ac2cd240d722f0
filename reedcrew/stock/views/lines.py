"""The list of the stock, and one line of it."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stock import queries, services
from reedcrew.stock.forms import FindSetForm, FirstCountForm, LabelForm, LineForm, MovementForm
from reedcrew.stock.models import StockLine
from reedcrew.web.errors import refusals_on

ROWS_A_PAGE = 50


def fetch_line(request: GroupRequest, pk: int) -> StockLine:
    """The stock line with this key in the request's group, or 404."""
    return get_object_or_404(StockLine.objects.of_group(request.group).select_related("group"), pk=pk)


@require_GET
@group_page(Deed.SEE_STOCK)
def stock(request: GroupRequest) -> HttpResponse:
    find = FindSetForm(request.GET if "code" in request.GET else None, group=request.group)
    if find.is_bound and find.is_valid():
        return redirect(find.cleaned_data["code"])
    context = {
        "items": queries.counts_by_item(request.group),
        "find": find,
        "may_keep": request.member.may(Deed.KEEP_STOCK),
    }
    return render(request, "stock/stock.html", context)


@require_GET
@group_page(Deed.SEE_STOCK)
def line(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_line(request, pk)
    page = Paginator(queries.ledger(shown), ROWS_A_PAGE).get_page(request.GET.get("page"))
    places = queries.place_counts([shown]).get(shown.pk, queries.PlaceCounts())
    context = {
        "line": shown,
        "count": queries.LineCount(line=shown, places=places),
        "sets": queries.states_of_line(shown),
        "page": page,
        "may_keep": request.member.may(Deed.KEEP_STOCK),
    }
    return render(request, "stock/line.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def add_line(request: GroupRequest) -> HttpResponse:
    form = LineForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.add_line(group=request.group, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("“%(line)s” is in the stock.") % {"line": made})
            return redirect(made)
    return render(request, "stock/add_line.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def first_count(request: GroupRequest) -> HttpResponse:
    """What a new group has, entered in one go."""
    there = set(StockLine.objects.of_group(request.group).values_list("item", "size"))
    again = "submission" in request.POST  # a form that comes twice must find the fields that it was made with
    form = FirstCountForm(request.POST or None, there=() if again else there)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.count_first(
                group=request.group,
                counted=form.counted,
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            said = ngettext("%(count)d line is in the stock.", "%(count)d lines are in the stock.", len(made))
            messages.success(request, said % {"count": len(made)})
            return redirect(request.group)
    return render(request, "stock/first_count.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def record_movement(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_line(request, pk)
    form = MovementForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_movement(line=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The movement is recorded."))
            return redirect(shown)
    context = {"form": form, "line": shown, "on_hand": queries.counted_in_stock(shown)}
    return render(request, "stock/record_movement.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def give_labels(request: GroupRequest, pk: int) -> HttpResponse:
    """Counted pieces become sets with codes."""
    shown = fetch_line(request, pk)
    on_hand = queries.counted_in_stock(shown)
    form = LabelForm(request.POST or None, initial={"number": on_hand or None})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.give_labels(line=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            said = ngettext("%(count)d piece has a code now.", "%(count)d pieces have codes now.", len(made))
            messages.success(request, said % {"count": len(made)})
            return redirect(shown)
    return render(request, "stock/give_labels.html", {"form": form, "line": shown, "on_hand": on_hand})
