"""The API described by OpenAPI 3.1: what ninja knows of the routes, and beside it webhooks, problems and headers."""

from copy import deepcopy
from functools import lru_cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse

from reedcrew.api.models import Event
from reedcrew.api.sending import WHOLE_S
from reedcrew.api.signing import CODE_HEADER, EVENT_HEADER, SIGNATURE_HEADER, TIME_HEADER
from reedcrew.api.v1 import problems, routes
from reedcrew.api.v1.access import REQUESTS_MOST, WINDOW_S
from reedcrew.api.v1.routes import api
from reedcrew.api.v1.schemas import DayMessage

PREFIX = "api/v1/"
Described = dict[str, Any]


@lru_cache(maxsize=1)
def described() -> Described:
    """The whole description; worked out once in a process."""
    found: Described = deepcopy(dict(api.get_openapi_schema(path_prefix=PREFIX)))
    found["info"]["description"] = (
        f"{api.description} Examples of every address: {settings.SITE_URL}/api/. "
        f"A token may ask {REQUESTS_MOST} times in {WINDOW_S} seconds."
    )
    found["servers"] = [{"url": settings.SITE_URL}]
    schemas = found["components"]["schemas"]
    message = DayMessage.model_json_schema(ref_template="#/components/schemas/{model}")
    schemas.update(message.pop("$defs"))
    schemas["DayMessage"] = message
    for operations in found["paths"].values():
        for operation in operations.values():
            _complete(operation)
    for name in [name for name in schemas if name.startswith("Asked")]:
        del schemas[name]  # written out where they are asked for
    found["webhooks"] = {event.value: _webhook(event) for event in (Event.DAY_POSTED, Event.DAY_CLOSED)}
    return found


def openapi(request: HttpRequest) -> HttpResponse:
    """The description as JSON. It says nothing of any group, so that it needs no token."""
    answer = JsonResponse(described(), json_dumps_params={"ensure_ascii": False, "indent": 1})
    answer["Cache-Control"] = "public, max-age=300"
    return answer


# --- Private ---------------------------------------------------------------------------------------------------------


def _text_header(description: str) -> Described:
    return {"description": description, "schema": {"type": "string"}}


def _complete(operation: Described) -> None:
    """Say under which type problems come, and which headers every answer has. An address holds no null."""
    operation["operationId"] = operation["operationId"].removeprefix(f"{routes.__name__.replace('.', '_')}_")
    for parameter in operation["parameters"]:
        for choice in parameter["schema"].pop("anyOf", ()):
            if choice != {"type": "null"}:
                parameter["schema"] = choice
    responses = operation["responses"]
    for status, response in responses.items():
        headers = {"RateLimit": _text_header("What the token has left"), "RateLimit-Policy": _text_header("Its quota")}
        if int(status) == 200:
            headers["ETag"] = _text_header("Send it as If-None-Match: 304 says that nothing changed")
        else:
            response["content"] = {problems.MEDIA_TYPE: response["content"]["application/json"]}
        if int(status) == 401:
            headers = {}
        if int(status) in {401, 403}:
            headers["WWW-Authenticate"] = _text_header("What is wrong with the token (RFC 6750, 3)")
        if int(status) == 429:
            headers["Retry-After"] = {"description": "Seconds to wait", "schema": {"type": "integer"}}
        response["headers"] = headers
    responses["304"] = {"description": "Nothing changed since the answer with the entity tag of If-None-Match"}


def _webhook(event: Event) -> Described:
    headers = {
        EVENT_HEADER: "The event",
        CODE_HEADER: "Id of the message, the same in every try: by it you know a repeat",
        TIME_HEADER: "When this try was sent: seconds since 1970-01-01 UTC",
        SIGNATURE_HEADER: "HMAC-SHA256 over time, a point and the body; two with a comma between on the day after a "
        "new secret was made",
    }
    taken = f"Taken. Any other answer, or none in {WHOLE_S:.0f} seconds, is tried again over a day."
    return {
        "post": {
            "operationId": event.value.replace(".", "_"),
            "summary": str(event.label).capitalize(),
            "parameters": [
                {"in": "header", "name": name, "required": True, "schema": {"type": "string"}, "description": said}
                for name, said in headers.items()
            ],
            "requestBody": {
                "required": True,
                "content": {"application/json": {"schema": {"$ref": "#/components/schemas/DayMessage"}}},
            },
            "responses": {"2XX": {"description": taken}},
        }
    }
