"""Answers that say what is wrong (RFC 9457, "Problem Details for HTTP APIs")."""

import json
from collections.abc import Mapping
from enum import Enum
from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.http import HttpResponse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from ninja import Schema
from pydantic import Field

MEDIA_TYPE = "application/problem+json"
REALM = "reedcrew"


class Kind(Enum):
    """The kinds of problems; each is explained on the page of the API under its own anchor."""

    BAD_REQUEST = "bad-request", 400
    NO_TOKEN = "no-token", 401
    INVALID_TOKEN = "invalid-token", 401
    SCOPE_MISSING = "scope-missing", 403
    ABSENT = "absent", 404
    METHOD = "method", 405
    TOO_MANY = "too-many-requests", 429
    FAULT = "fault", 500

    @property
    def slug(self) -> str:
        return self.value[0]

    @property
    def status(self) -> int:
        return self.value[1]


# What each kind means and what to do, for people.
PROBLEMS: tuple[tuple[Kind, Promise], ...] = (
    (Kind.BAD_REQUEST, _("A parameter cannot be used. “errors” names each one and says what would be right.")),
    (Kind.NO_TOKEN, _("The request carries no token.")),
    (Kind.INVALID_TOKEN, _("The token is wrong, expired or revoked, or its maker may not read this any more.")),
    (Kind.SCOPE_MISSING, _("The token does not open this. Make one with the scope that WWW-Authenticate names.")),
    (Kind.ABSENT, _("There is no such row in the group of the token, or no such address.")),
    (Kind.METHOD, _("The address is only read: ask by GET.")),
    (Kind.TOO_MANY, _("The token asked too often. Wait as many seconds as Retry-After says.")),
    (Kind.FAULT, _("Something went wrong here. Ask again later.")),
)


class Problem(Exception):
    """Something that ends a request: its kind, a sentence, and headers that belong to it."""

    def __init__(
        self,
        kind: Kind,
        detail: str,
        *,
        headers: Mapping[str, str] | None = None,
        parameters: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind, self.detail = kind, detail
        self.headers, self.parameters = dict(headers or {}), dict(parameters or {})


class FaultyParameter(Schema):
    """One parameter that cannot be used, and what would be right."""

    parameter: str
    detail: str


class ProblemDetails(Schema):
    """What is wrong, by RFC 9457."""

    type: str = Field(description="Address of the explanation; it names the kind of problem.")
    title: str = Field(description="The status in words.")
    status: int = Field(description="The status, as in the answer's head.")
    detail: str = Field(description="What is wrong with this request.")
    errors: list[FaultyParameter] | None = Field(None, description="Each parameter that cannot be used.")


def no_token() -> Problem:
    """RFC 6750, 3.1: who shows nothing is told the scheme alone."""
    return Problem(
        Kind.NO_TOKEN,
        "Send a token of the group in the header “Authorization: Bearer …”.",
        headers={"WWW-Authenticate": f'Bearer realm="{REALM}"'},
    )


def invalid_token() -> Problem:
    """The same answer to a wrong, an expired, a revoked and a foreign token."""
    return Problem(
        Kind.INVALID_TOKEN,
        "This token does not hold: it is wrong, expired or revoked, or whoever made it may not read this any more.",
        headers={"WWW-Authenticate": f'Bearer realm="{REALM}", error="invalid_token"'},
    )


def scope_missing(scope: str) -> Problem:
    return Problem(
        Kind.SCOPE_MISSING,
        f"This token does not have the scope “{scope}”. Make one that has.",
        headers={"WWW-Authenticate": f'Bearer realm="{REALM}", error="insufficient_scope", scope="{scope}"'},
    )


def absent() -> Problem:
    return Problem(Kind.ABSENT, "There is nothing here, or not in the group of this token.")


def answer(problem: Problem) -> HttpResponse:
    """The answer that tells a problem."""
    told: dict[str, Any] = {
        "type": f"{settings.SITE_URL}/api/#{problem.kind.slug}",
        "title": HTTPStatus(problem.kind.status).phrase,
        "status": problem.kind.status,
        "detail": problem.detail,
    }
    if problem.parameters:
        told["errors"] = [{"parameter": name, "detail": said} for name, said in problem.parameters.items()]
    return HttpResponse(
        json.dumps(told, ensure_ascii=False),
        content_type=MEDIA_TYPE,
        status=problem.kind.status,
        headers=problem.headers,
    )
