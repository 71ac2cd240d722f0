"""Reads of the pages about other programs."""

from django.db.models import Count, F, Q, QuerySet

from reedcrew.api.models import ApiToken, Delivery, Webhook
from reedcrew.people.models import Group
from reedcrew.people.queries import member_name

DELIVERIES_SHOWN = 50
ENDED_SHOWN = 20


def tokens_of(group: Group) -> QuerySet[ApiToken]:
    """The tokens of a group that were not revoked, the newest first, with who made each."""
    return ApiToken.objects.of_group(group).standing().select_related("member").order_by("-made_at", "-pk")


def ended_tokens_of(group: Group) -> QuerySet[ApiToken]:
    """The tokens that were revoked last, with the name of who did."""
    revoked = ApiToken.objects.of_group(group).exclude(revoked_at=None).order_by(F("revoked_at").desc(), "-pk")
    return revoked.annotate(revoker=member_name(group="group", account="revoked_by"))[:ENDED_SHOWN]


def webhooks_of(group: Group) -> QuerySet[Webhook]:
    """The webhooks of a group, those that were removed last, each with its messages that were given up."""
    given_up = Count("deliveries", filter=Q(deliveries__state=Delivery.State.GIVEN_UP))
    webhooks = Webhook.objects.of_group(group).annotate(given_up=given_up)
    return webhooks.order_by(F("removed_at").asc(nulls_first=True), "made_at", "pk")


def deliveries_of(webhook: Webhook) -> QuerySet[Delivery]:
    """The last messages of a webhook, the newest first."""
    return Delivery.objects.filter(webhook=webhook).order_by("-made_at", "-pk")[:DELIVERIES_SHOWN]
