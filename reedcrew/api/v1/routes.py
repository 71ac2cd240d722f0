"""The addresses of the API: each fetches within the token's group and answers with records."""

import logging
from typing import Any, TypeVar

from django.core.signals import got_request_exception
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import register_converter
from django.urls.converters import StringConverter
from ninja import NinjaAPI, Path, Query
from ninja.errors import ValidationError
from pydantic import Field

from reedcrew.api.records import days as day_rows
from reedcrew.api.records import hours as hour_rows
from reedcrew.api.records import plans as plan_rows
from reedcrew.api.records import stands as stand_rows
from reedcrew.api.scopes import Scope
from reedcrew.api.v1 import schemas
from reedcrew.api.v1.access import ApiRequest, Bearer
from reedcrew.api.v1.paging import Asked, AskedOfDays, ask_known, page_of
from reedcrew.api.v1.problems import Kind, Problem, ProblemDetails, absent, answer
from reedcrew.grants.models import HourEntry
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay

logger = logging.getLogger(__name__)

KEY_MOST = 2**53 - 1  # whole numbers that every program reads exactly (RFC 8259, 6)

api = NinjaAPI(
    title="Reedcrew",
    version="1",
    description="What a group of reed cutters plans and records, for other programs. It is only read.",
    openapi_url=None,  # served by v1.description, which adds what ninja does not know
    docs_url=None,  # its pages fetch scripts from elsewhere; the site has a page of its own
    urls_namespace="api:v1",
)


class AnythingConverter(StringConverter):
    """The rest of an address, whatever it is; Django's own ``path`` stops at a line end."""

    regex = r"[\s\S]+"


register_converter(AnythingConverter, "anything")

OF_ALL: dict[Any, Any] = {400: ProblemDetails, 401: ProblemDetails, 403: ProblemDetails, 429: ProblemDetails}
OF_ONE: dict[Any, Any] = {**OF_ALL, 404: ProblemDetails}


@api.exception_handler(Problem)
def on_problem(request: HttpRequest, problem: Problem) -> HttpResponse:
    return answer(problem)


@api.exception_handler(ValidationError)
def on_unusable(request: HttpRequest, error: ValidationError) -> HttpResponse:
    """Name each parameter that cannot be used."""
    said = {str(each["loc"][-1]): str(each["msg"]).removeprefix("Value error, ") for each in error.errors}
    return answer(Problem(Kind.BAD_REQUEST, "This request cannot be understood.", parameters=said))


@api.exception_handler(Http404)
def on_absent(request: HttpRequest, error: Http404) -> HttpResponse:
    return answer(absent())


@api.exception_handler(Exception)
def on_fault(request: HttpRequest, error: Exception) -> HttpResponse:
    """A fault of ours: logged as Django logs one, and said without detail."""
    got_request_exception.send(sender=None, request=request)
    logger.error("The API failed", exc_info=error)
    return answer(Problem(Kind.FAULT, "Something went wrong here. It is logged; ask again later."))


@api.get("/token", auth=Bearer(), response={200: schemas.TokenFacts, 401: ProblemDetails, 429: ProblemDetails})
def token(request: ApiRequest) -> dict[str, Any]:
    """What this token may read."""
    held = request.auth
    return {
        "group": {"id": held.group_id, "name": held.group.name},
        "group_slug": held.group.slug,
        "name": held.name,
        "scopes": held.scopes,
        "expires_at": held.expires_at,
    }


@api.get("/stands", auth=Bearer(Scope.STANDS), response={200: schemas.Page[schemas.Stand], **OF_ALL})
def stands(request: ApiRequest, asked: Query[Asked]) -> dict[str, Any]:
    """Stands with their zones, the state of the reed, stems and densities with intervals."""
    ask_known(request, asked)
    group, rows = request.auth.group, Stand.objects.of_group(request.auth.group)
    if asked.updated_since is not None:
        rows = rows.filter(pk__in=stand_rows.changed_since(group, asked.updated_since))
    found, cursor = page_of(rows, asked)
    outlines = request.auth.opens(Scope.OUTLINES)
    return {"data": stand_rows.stand_records(found, group, outlines=outlines), "next_cursor": cursor}


@api.get("/stands/{int:pk}", auth=Bearer(Scope.STANDS), response={200: schemas.Stand, **OF_ONE})
def stand(request: ApiRequest, pk: Path[int]) -> dict[str, Any]:
    """One stand."""
    group = request.auth.group
    found = _one(Stand.objects.of_group(group), pk)
    return stand_rows.stand_records(found, group, outlines=request.auth.opens(Scope.OUTLINES))[0]


class AskedForDays(AskedOfDays):
    """Days may be asked for by where they stand."""

    status: str | None = Field(
        None,
        pattern=f"^({'|'.join(WorkDay.Status.values)})$",
        description="Only days that are posted, closed or cancelled.",
    )


@api.get("/days", auth=Bearer(Scope.DAYS), response={200: schemas.Page[schemas.Day], **OF_ALL})
def days(request: ApiRequest, asked: Query[AskedForDays]) -> dict[str, Any]:
    """Work days with window, places and numbers of people."""
    ask_known(request, asked)
    group = request.auth.group
    rows = _on_days(WorkDay.objects.of_group(group), asked, "date")
    if asked.status is not None:
        rows = rows.filter(status=asked.status)
    if asked.updated_since is not None:
        rows = rows.filter(pk__in=day_rows.changed_since(group, asked.updated_since))
    found, cursor = page_of(rows, asked)
    return {"data": day_rows.day_records(found, group), "next_cursor": cursor}


@api.get("/days/{int:pk}", auth=Bearer(Scope.DAYS), response={200: schemas.Day, **OF_ONE})
def day(request: ApiRequest, pk: Path[int]) -> dict[str, Any]:
    """One work day."""
    return day_rows.day_records(_one(WorkDay.objects.of_group(request.auth.group), pk), request.auth.group)[0]


@api.get("/days/{int:pk}/plan", auth=Bearer(Scope.PLANS), response={200: schemas.Plan, **OF_ONE})
def plan(request: ApiRequest, pk: Path[int]) -> dict[str, Any]:
    """The plan of one work day that counts."""
    found = _one(plan_rows.plans_of(request.auth.group), pk, "day")
    return plan_rows.plan_records(found, names=request.auth.opens(Scope.NAMES))[0]


@api.get("/plans", auth=Bearer(Scope.PLANS), response={200: schemas.Page[schemas.Plan], **OF_ALL})
def plans(request: ApiRequest, asked: Query[AskedOfDays]) -> dict[str, Any]:
    """The plan that counts of each day: units, roles on shore, gear. People by their codes."""
    ask_known(request, asked)
    rows = _on_days(plan_rows.plans_of(request.auth.group), asked, "day__date")
    if asked.updated_since is not None:
        rows = plan_rows.changed_since(rows, asked.updated_since)
    found, cursor = page_of(rows, asked)
    names = request.auth.opens(Scope.NAMES)
    return {"data": plan_rows.plan_records(found, names=names), "next_cursor": cursor}


@api.get("/hours", auth=Bearer(Scope.HOURS), response={200: schemas.Page[schemas.Hours], **OF_ALL})
def hours(request: ApiRequest, asked: Query[AskedOfDays]) -> dict[str, Any]:
    """Lines of the hours ledger, corrections as lines of their own. People by their codes."""
    ask_known(request, asked)
    rows = _on_days(HourEntry.objects.of_group(request.auth.group), asked, "date")
    if asked.updated_since is not None:
        rows = hour_rows.changed_since(rows, asked.updated_since)
    found, cursor = page_of(rows, asked)
    names = request.auth.opens(Scope.NAMES)
    return {"data": hour_rows.hour_records(found, names=names), "next_cursor": cursor}


@api.get("/hours/{int:pk}", auth=Bearer(Scope.HOURS), response={200: schemas.Hours, **OF_ONE})
def line_of_hours(request: ApiRequest, pk: Path[int]) -> dict[str, Any]:
    """One line of the hours ledger."""
    found = _one(HourEntry.objects.of_group(request.auth.group), pk)
    return hour_rows.hour_records(found, names=request.auth.opens(Scope.NAMES))[0]


@api.get("/{anything:rest}", auth=Bearer(), include_in_schema=False)
def nothing(request: ApiRequest, rest: Path[str]) -> None:
    """Any other address."""
    raise absent()


# --- Private ---------------------------------------------------------------------------------------------------------

Rows = TypeVar("Rows", bound="QuerySet[Any]")


def _one(rows: Rows, key: int, column: str = "pk") -> Rows:
    """The one row with this key among rows of the token's group. Raises Problem where there is none."""
    found = rows.filter(**{column: key}) if key <= KEY_MOST else rows.none()
    if not found.exists():
        raise absent()
    return found


def _on_days(rows: Rows, asked: AskedOfDays, column: str) -> Rows:
    """The rows between the two days that were asked for."""
    if asked.first_date is not None:
        rows = rows.filter(**{f"{column}__gte": asked.first_date})
    if asked.last_date is not None:
        rows = rows.filter(**{f"{column}__lte": asked.last_date})
    return rows
