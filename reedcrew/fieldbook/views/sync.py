"""What phones ask for and send: JSON in and out, also for whatever goes wrong."""

import datetime
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from django.middleware.csrf import CsrfViewMiddleware, get_token
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST

from reedcrew.fieldbook.models import DayPhoto
from reedcrew.fieldbook.sync import errors
from reedcrew.fieldbook.sync.contract import BODY_BYTES_MAX, moment_of, read_batch, uuid_of
from reedcrew.fieldbook.sync.day_file import day_file
from reedcrew.fieldbook.sync.day_state import day_state
from reedcrew.fieldbook.sync.photos import take_photo
from reedcrew.fieldbook.sync.taking import Answer, take
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.people.services import look_at_private_of_day
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.photos import FILE_BYTES_MAX, PhotoRefused, PhotoTooLarge
from reedcrew.workdays.queries import led_day
from reedcrew.workdays.views import fetch_day

PHOTO_REQUEST_BYTES_MAX = FILE_BYTES_MAX + 64 * 1024  # the file and the fields beside it
READ_OFF_BYTES_MAX, CHUNK_BYTES = 64 * 1024 * 1024, 64 * 1024
WHY_CONTACTS = "phone of the crew lead, for a day without a network"


class _Csrf(CsrfViewMiddleware):
    """The check of Django, told as a reason and not as a page."""

    def _reject(self, request: HttpRequest, reason: str) -> HttpResponse:
        return HttpResponse(reason, status=403)


def _json_page(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Answer a phone in JSON whatever happens: signed out before anything else, so that it knows why it was refused."""

    @wraps(view)
    def answering(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            if not request.user.is_authenticated:
                raise errors.SignedOut
            _ask_length(request)
            _check_csrf(request, view)
            return view(request, *args, **kwargs)
        except PhotoRefused as error:
            return _refusal(error, status=413 if isinstance(error, PhotoTooLarge) else 400)
        except ReedcrewError as error:
            return _refusal(error)
        except RequestDataTooBig:
            return _refusal(errors.Oversized(limit=_megabytes(BODY_BYTES_MAX)))
        except (UnreadablePostError, MultiPartParserError):  # it broke off: the phone sends it again
            return _refusal(errors.BadRequest(field="", needed="a whole request"))
        except PermissionDenied:
            return _refusal(errors.NotYours())
        except Http404:
            return _refusal(errors.NoSuchDay())

    return csrf_exempt(answering)  # checked above, with an answer that a phone can read


def _ask_length(request: HttpRequest) -> None:
    """Refuse what is too long before it is kept anywhere. It is read off the line, so that the answer is heard."""
    is_photo = request.content_type == "multipart/form-data"
    limit = PHOTO_REQUEST_BYTES_MAX if is_photo else BODY_BYTES_MAX
    try:
        length = int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        length = 0
    if length <= limit:
        return
    for _read in range(0, min(length, READ_OFF_BYTES_MAX), CHUNK_BYTES):
        if not request.read(CHUNK_BYTES):
            break
    if is_photo:
        raise PhotoTooLarge(name=_("This photo"), mb=_megabytes(length), limit=_megabytes(FILE_BYTES_MAX))
    raise errors.Oversized(limit=_megabytes(BODY_BYTES_MAX))


def _megabytes(size: int) -> int:
    return round(size / 1024 / 1024)


def _check_csrf(request: HttpRequest, view: Callable[..., HttpResponseBase]) -> None:
    check = _Csrf(lambda _request: HttpResponse())
    check.process_request(request)
    if check.process_view(request, view, (), {}) is not None:
        raise errors.CsrfFailed


def _refusal(error: ReedcrewError, status: int | None = None) -> JsonResponse:
    field = error.field or error.values.get("field") or ""
    told = {"code": error.code, "sentence": str(error), "field": str(field)}
    return JsonResponse({"error": told}, status=status or error.status)


def _told(answer: Answer) -> dict[str, str]:
    return {
        "id": answer.said_id,
        "outcome": answer.outcome,
        "code": answer.code,
        "sentence": answer.sentence,
        "field": answer.field,
    }


@require_GET
@never_cache
@_json_page
@group_page(Deed.RUN_DAY)
def day_json(request: GroupRequest, pk: int) -> HttpResponse:
    """The whole day for a phone; the header ``X-CSRFToken`` has the token that its requests carry."""
    day, now = fetch_day(request, pk), timezone.now()
    return JsonResponse(day_file(day, me=request.member, now=now), headers={"X-CSRFToken": get_token(request)})


@require_GET
@never_cache
@_json_page
@group_page(Deed.SEE_PRIVATE)
def contacts_json(request: GroupRequest, pk: int) -> HttpResponse:
    """Whom to call for each person of the day, in the permitted time; each look is recorded."""
    day, now = fetch_day(request, pk), timezone.now()
    why = request.GET.get("why", "").strip() or WHY_CONTACTS
    records = look_at_private_of_day(by=request.member, led_day=led_day(day, now), now=now, why=why)
    contacts = [
        {
            "member": record.member_id,
            "name": record.member.name,
            "emergency_name": record.emergency_name,
            "emergency_phone": record.emergency_phone,
            "health_note": record.health_note,
        }
        for record in records
    ]
    return JsonResponse({"server_at": now.isoformat(), "contacts": contacts})


@require_POST
@never_cache
@_json_page
@group_page(Deed.RUN_DAY)
def sync(request: GroupRequest, pk: int) -> HttpResponse:
    """Take in entries of a phone; the answer has what became of each, and the day as it stands now."""
    day, now = fetch_day(request, pk), timezone.now()
    taken = take(day=day, batch=read_batch(request.body), author=request.user, now=now)
    day = fetch_day(request, pk)
    return JsonResponse(
        {
            "server_at": now.astimezone(datetime.UTC).isoformat(),
            "offset_s": taken.offset_s,
            "entries": [_told(answer) for answer in taken.answers],
            "state": day_state(day),
        }
    )


@require_POST
@never_cache
@_json_page
@group_page(Deed.RUN_DAY)
def photo(request: GroupRequest, pk: int) -> HttpResponse:
    """Take in one photo of before or after. A file that is too large is refused before it is read."""
    day, now = fetch_day(request, pk), timezone.now()
    said, file = request.POST, request.FILES.get("photo")
    sent_at, at = moment_of(said.get("sent_at")), moment_of(said.get("at"))
    if file is None:
        raise errors.BadRequest(field="photo", needed="a file")
    if said.get("kind") not in DayPhoto.Kind.values:
        raise errors.BadRequest(field="kind", needed=", ".join(DayPhoto.Kind.values))
    zone = day.zones.filter(pk=said["zone"]).first() if said.get("zone", "").isdecimal() else None
    if said.get("zone") and zone is None:
        raise errors.BadRequest(field="zone", needed="one of the day's zones")
    if at is None or sent_at is None:
        raise errors.BadRequest(field="at" if at is None else "sent_at", needed="an ISO 8601 time with its offset")
    entry_id, phone = uuid_of(said.get("id")), uuid_of(said.get("phone"))
    if entry_id is None or phone is None:
        raise errors.BadRequest(field="id" if entry_id is None else "phone", needed="a UUID")
    answer = take_photo(
        day=day,
        entry_id=entry_id,
        phone_key=phone,
        kind=said["kind"],
        zone=zone,
        file=file,
        at=at,
        sent_at=sent_at,
        author=request.user,
        now=now,
    )
    return JsonResponse({**_told(answer), "server_at": now.astimezone(datetime.UTC).isoformat()})
