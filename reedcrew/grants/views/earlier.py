"""Taking over earlier seasons: upload, columns, a look at every row, and undoing."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from reedcrew.grants.earlier.judging import Judged, guess
from reedcrew.grants.earlier.spreadsheet import Cell, read_rows
from reedcrew.grants.forms.earlier import ColumnsForm, UploadForm
from reedcrew.grants.models import EarlierBatch
from reedcrew.grants.queries.earlier import batches, earlier_years
from reedcrew.grants.services import earlier as services
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError, refusals_on


def fetch_batch(request: GroupRequest, pk: int) -> EarlierBatch:
    """The file with this key in the request's group, or 404."""
    return get_object_or_404(batches(request.group).select_related("group"), pk=pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.IMPORT_EARLIER)
def earlier(request: GroupRequest) -> HttpResponse:
    """What was taken over, and the upload of another file."""
    form = UploadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            batch = services.upload_earlier(
                group=request.group, file=form.cleaned_data["file"], actor=request.user, now=timezone.now()
            )
            return redirect("grants:earlier_file", request.group.slug, batch.pk)
    context = {"form": form, "batches": batches(request.group), "years": earlier_years(request.group)}
    return render(request, "grants/earlier.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.IMPORT_EARLIER)
def earlier_file(request: GroupRequest, pk: int) -> HttpResponse:
    """Name the columns of a file, then see every row judged."""
    batch = fetch_batch(request, pk)
    if batch.state != EarlierBatch.State.UPLOADED:
        return render(request, "grants/earlier_file.html", {"batch": batch})
    head = _head(batch)
    guessed = batch.mapping or {column.value: place for column, place in guess(head).items()}
    initial = {"order": batch.mapping["order"]} if batch.mapping else {}
    form = ColumnsForm(request.POST or None, head=head, guessed=guessed, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.name_columns(batch=batch, columns=form.columns(), order=form.cleaned_data["order"])
            return redirect("grants:earlier_file", request.group.slug, batch.pk)
    judged: Judged | None = None
    refused = ""
    if batch.mapping and not form.is_bound:
        try:
            judged = services.look_through(batch=batch, today=timezone.now().date())
        except ReedcrewError as refusal:
            refused = str(refusal)
    sample = [line.of_batch(batch) for line in judged.sample] if judged else []
    context = {"batch": batch, "form": form, "judged": judged, "sample": sample, "refused": refused}
    return render(request, "grants/earlier_file.html", context)


@require_POST
@group_page(Deed.IMPORT_EARLIER)
def take_over(request: GroupRequest, pk: int) -> HttpResponse:
    batch = fetch_batch(request, pk)
    now = timezone.now()
    try:
        taken = services.take_over(batch=batch, actor=request.user, now=now, today=now.date())
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
        return redirect("grants:earlier_file", request.group.slug, batch.pk)
    said = ngettext("%(count)d row is taken over.", "%(count)d rows are taken over.", taken.rows)
    messages.success(request, said % {"count": taken.rows})
    return redirect("grants:earlier", request.group.slug)


@require_http_methods(["GET", "POST"])
@group_page(Deed.IMPORT_EARLIER)
def undo_earlier(request: GroupRequest, pk: int) -> HttpResponse:
    """Ask, then remove every line of a file."""
    batch = fetch_batch(request, pk)
    if request.method == "POST":
        try:
            services.undo(batch=batch, actor=request.user, now=timezone.now())
            messages.success(request, _("The lines of the file are removed."))
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
        return redirect("grants:earlier", request.group.slug)
    return render(request, "grants/undo_earlier.html", {"batch": batch})


@require_POST
@group_page(Deed.IMPORT_EARLIER)
def put_aside(request: GroupRequest, pk: int) -> HttpResponse:
    batch = fetch_batch(request, pk)
    try:
        services.put_aside(batch=batch)
        messages.success(request, _("The file is removed; nothing was taken over."))
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
    return redirect("grants:earlier", request.group.slug)


def _head(batch: EarlierBatch) -> Sequence[Cell]:
    with batch.file.open("rb") as file:
        _number, head = next(read_rows(file, batch.suffix), (0, ()))
    return head
