"""The season page: what the group did, and what is to do."""

import hashlib

from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.translation import get_language
from django.views.decorators.http import require_GET

from reedcrew.grants.season import due_of, season_stands, season_sums
from reedcrew.grants.season.charts import CHARTS
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.web.charts import Theme, draw

STANDS_A_PAGE = 25
YEAR_FIRST, YEAR_LAST = 1950, 2200  # as years of cutting (stands.models)


@require_GET
@group_page(Deed.SEE_SEASON)
def season(request: GroupRequest) -> HttpResponse:
    """One year of the group and all of its years. A year in the address that is none shows the latest one."""
    now = timezone.now()
    written = request.GET.get("year", "")
    sums = season_sums(request.group, year=_year(written), today=now.date())
    stands = season_stands(request.group, policy_of(request.group), sums.year)
    office = request.member.may(Deed.SEE_HOURS)
    context = {
        "sums": sums,
        "years": sorted({sums.year, *(each.first.year for each in sums.years)}, reverse=True),
        "stands": stands,
        "regrowth": stands.regrowth.get(sums.year),
        "page": Paginator(stands.stands, STANDS_A_PAGE).get_page(request.GET.get("page")),
        "office": office,
        "due": due_of(request.group, now, now.date()) if office else None,
        "may_survey": request.member.may(Deed.KEEP_STANDS),
        "is_this_year": sums.year == now.year,
    }
    return render(request, "grants/season.html", context)


@require_GET
@group_page(Deed.SEE_SEASON)
def season_chart(request: GroupRequest, year: int, chart: str, theme: str) -> HttpResponse:
    """One chart as SVG. Unchanged figures answer 304 without drawing."""
    chosen = _year(str(year))
    if chart not in CHARTS or theme not in set(Theme) or chosen is None:
        raise Http404
    shown = CHARTS[chart](season_sums(request.group, year=chosen, today=timezone.now().date()))
    etag = f'"{hashlib.sha256(f"{shown} {theme} {get_language()}".encode()).hexdigest()[:32]}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        answer = HttpResponse(draw(shown, Theme(theme)), content_type="image/svg+xml", headers={"ETag": etag})
    patch_cache_control(answer, private=True, no_cache=True)
    return answer


def _year(written: str) -> int | None:
    """The year that is written, or None where it is none."""
    year = int(written) if written.isascii() and written.isdigit() and len(written) == 4 else 0
    return year if YEAR_FIRST <= year <= YEAR_LAST else None
