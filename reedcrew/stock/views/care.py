"""After the day: what is to be cleaned and dried; and loans between groups."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stock import queries, services
from reedcrew.stock.forms import BorrowForm, CareForm, LendForm, ReturnForm
from reedcrew.stock.models import Kind, Loan
from reedcrew.stock.views.lines import fetch_line
from reedcrew.web.errors import refusals_on


@require_http_methods(["GET", "POST"])
@group_page(Deed.HANDLE_GEAR)
def care(request: GroupRequest) -> HttpResponse:
    """Tick what was cleaned, or what is dry; both with who and when."""
    waits = queries.care_list(request.group)
    sent = request.POST.get("form")
    clean = CareForm(
        request.POST if sent == "clean" else None,
        prefix="clean",
        sets=waits.sets_to_clean,
        counted=waits.counted_to_clean,
        initial={"kind": Kind.CLEANED.value},
    )
    dry = CareForm(
        request.POST if sent == "dry" else None,
        prefix="dry",
        sets=waits.sets_to_dry,
        counted=waits.counted_to_dry,
        initial={"kind": Kind.DRIED.value},
    )
    form = dry if sent == "dry" else clean
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            kind = Kind.DRIED if "without_cleaning" in request.POST else form.cleaned_data["kind"]
            services.mark(
                group=request.group,
                kind=kind,
                sets=list(form.cleaned_data.get("sets") or ()),
                counted=form.pieces,
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("Recorded: %(kind)s.") % {"kind": kind.label})
            return redirect("stock:care", request.group.slug)
    context = {"waits": waits, "clean": clean, "dry": dry, "solutions": queries.cleaning_solutions()}
    return render(request, "stock/care.html", context)


@require_GET
@group_page(Deed.SEE_STOCK)
def loans(request: GroupRequest) -> HttpResponse:
    """Loans that are open, the next due first, and those that are done."""
    found = queries.all_loans([request.group])
    today = timezone.now().date()
    context = {
        "open": [(each, each.is_overdue(today)) for each in found if each.is_open],
        "done": [each for each in found if not each.is_open][::-1],
        "may_keep": request.member.may(Deed.KEEP_STOCK),
    }
    return render(request, "stock/loans.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def borrow(request: GroupRequest) -> HttpResponse:
    form = BorrowForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.borrow(group=request.group, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The loan is recorded, and its gear is in stock."))
            return redirect("stock:loans", request.group.slug)
    return render(request, "stock/borrow.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def lend(request: GroupRequest) -> HttpResponse:
    form = LendForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.lend(
                group=request.group,
                party=form.cleaned_data["party"],
                due_on=form.cleaned_data["due_on"],
                sets=list(form.cleaned_data.get("sets") or ()),
                counted=form.pieces,
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("The loan is recorded."))
            return redirect("stock:loans", request.group.slug)
    return render(request, "stock/lend.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def return_loan(request: GroupRequest, pk: int, line: int) -> HttpResponse:
    """Counted pieces of a loan go back to who lent them."""
    loan = get_object_or_404(Loan.objects.filter(group=request.group).select_related("group"), pk=pk)
    shown = fetch_line(request, line)
    number = queries.open_of_loan(loan, shown)
    form = ReturnForm(request.POST or None, initial={"number": number or None})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.return_counted(loan=loan, line=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The return is recorded."))
            return redirect("stock:loans", request.group.slug)
    context = {"form": form, "loan": loan, "line": shown, "number": number}
    return render(request, "stock/return_loan.html", context)
