"""Who asks: the token in the header, how often it asked, and whether it opens what it asks for."""

from dataclasses import dataclass

from django.core.cache import cache
from django.http import HttpRequest
from django.utils import timezone
from ninja.security import HttpBearer

from reedcrew.api import services
from reedcrew.api.models import ApiToken
from reedcrew.api.scopes import Scope
from reedcrew.api.v1.problems import Kind, Problem, invalid_token, no_token, scope_missing
from reedcrew.people import security_log

# Requests of one token in one window (convention): a program that follows a group needs a few an hour.
REQUESTS_MOST = 120
WINDOW_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Quota:
    """How many requests a token has left in this window, and for how many seconds the window lasts."""

    left: int
    seconds: int

    @property
    def headers(self) -> dict[str, str]:
        """As draft-ietf-httpapi-ratelimit-headers-10 has them (fields of RFC 9651): the policy, and what is left."""
        return {
            "RateLimit-Policy": f'"token";q={REQUESTS_MOST};w={WINDOW_S}',
            "RateLimit": f'"token";r={self.left};t={self.seconds}',
        }


class ApiRequest(HttpRequest):
    """A request whose token holds."""

    auth: ApiToken
    quota: Quota


class Bearer(HttpBearer):
    """Asks for a token with a scope; without one, any token does."""

    def __init__(self, scope: Scope | None = None) -> None:
        super().__init__()
        self.scope = scope

    def __call__(self, request: HttpRequest) -> ApiToken:
        """The token of the request. Raises Problem."""
        scheme, _space, secret = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != self.openapi_scheme or not secret.strip():
            raise no_token()
        return self.authenticate(request, secret.strip())

    def authenticate(self, request: HttpRequest, token: str) -> ApiToken:
        """Know the token, count its request, ask for the scope. Raises Problem."""
        now = timezone.now()
        held = services.holder_of(token, now)
        if held is None:
            security_log.note("token refused")
            raise invalid_token()
        quota = _counted(held, int(now.timestamp()))
        request.quota = quota  # type: ignore[attr-defined]  # of ApiRequest; v1.answers puts it into the head
        if quota.left < 0:
            raise Problem(
                Kind.TOO_MANY,
                f"More than {REQUESTS_MOST} requests in {WINDOW_S} seconds. Ask again in {quota.seconds} seconds.",
                headers={"Retry-After": str(quota.seconds)},
            )
        services.note_use(token=held, now=now)
        if self.scope is not None and not held.opens(self.scope):
            security_log.note("token without scope", group=held.group_id, token=held.pk, scope=self.scope.value)
            raise scope_missing(self.scope.value)
        return held


def _counted(token: ApiToken, second: int) -> Quota:
    """Count one request in the window that this second lies in. ``left`` is below 0 for one too many.

    Counted in the cache: exactly in Redis; on files two requests at the very same moment may count once.
    """
    window = second // WINDOW_S
    key = f"api-quota-{token.pk}-{window}"
    cache.add(key, 0, timeout=2 * WINDOW_S)
    try:
        used = cache.incr(key)
    except ValueError:  # thrown out meanwhile, or a cache that keeps nothing
        used = 1
    return Quota(left=REQUESTS_MOST - used, seconds=(window + 1) * WINDOW_S - second)
