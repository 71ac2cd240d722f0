"""A person's own hours, as a page and as a certificate."""

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from reedcrew.grants.exports.pdf.certificate import certificate_pdf, period_text
from reedcrew.grants.forms.reports import CertificateForm
from reedcrew.grants.queries.certificates import Certificate, certificate
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed


@require_GET
@group_page(Deed.SEE_GROUP)
def my_hours(request: GroupRequest, pk: int) -> HttpResponse:
    """The hours of oneself, of a child in one's care, or, for those who see hours, of anybody in the group."""
    member = _person(request, pk)
    form = CertificateForm(request.GET or None)
    found = _found(member, form)
    query = request.GET.urlencode() if form.is_bound and form.is_valid() else ""
    context = {
        "person": member,
        "form": form,
        "found": found,
        "period": period_text(found) if found else "",
        "query": query,
        "others": _mine(request).exclude(pk=member.pk),
    }
    return render(request, "grants/my_hours.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def certificate_file(request: GroupRequest, pk: int) -> HttpResponse:
    """The same as a PDF."""
    found = _found(_person(request, pk), CertificateForm(request.GET or None))
    if found is None:
        raise Http404
    answer = HttpResponse(certificate_pdf(found, at=timezone.now()), content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="hours-{found.member.code}.pdf"'
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer


def _mine(request: GroupRequest) -> QuerySet[Member]:
    return Member.objects.current().in_care_of(request.member).order_by("name", "pk")


def _person(request: GroupRequest, pk: int) -> Member:
    sees_all = request.member.may(Deed.SEE_HOURS)
    people = Member.objects.filter(group=request.group) if sees_all else _mine(request)
    return get_object_or_404(people.select_related("group"), pk=pk, group=request.group)


def _found(member: Member, form: CertificateForm) -> Certificate | None:
    if not form.is_bound:
        return certificate(member, None, None)
    return certificate(member, **form.cleaned_data) if form.is_valid() else None
