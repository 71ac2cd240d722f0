"""The operators' page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from reedcrew.operation import queries
from reedcrew.operation.access import operator_page


@require_safe
@never_cache
@operator_page
def installation(request: HttpRequest) -> HttpResponse:
    """How the installation is, and what to do about what is wrong."""
    return render(request, "operation/installation.html", {"state": queries.installation(timezone.now())})
