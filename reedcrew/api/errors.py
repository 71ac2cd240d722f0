"""What tokens and webhooks refuse."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class ApiError(ReedcrewError):
    """Base of the refusals of this app."""


class NoScope(ApiError):
    code = "api.no_scope"
    sentence = _("Choose at least one thing that the program may read.")
    field = "scopes"


class NamesOfNobody(ApiError):
    code = "api.names_of_nobody"
    sentence = _("Names stand in plans and hours only: choose one of these beside them.")
    field = "scopes"


class OutlinesOfNothing(ApiError):
    code = "api.outlines_of_nothing"
    sentence = _("Outlines stand with stands only: choose stands beside them.")
    field = "scopes"


class ScopeNotYours(ApiError):
    code = "api.scope_not_yours"
    sentence = _("Your role may not read this itself: %(scopes)s.")
    field = "scopes"


class TooManyTokens(ApiError):
    code = "api.too_many_tokens"
    sentence = _("The group has %(most)d tokens. Revoke one that no program uses any more.")


class TooManyWebhooks(ApiError):
    code = "api.too_many_webhooks"
    sentence = _("The group has %(most)d webhooks. Remove one that no program needs any more.")


class NoEvent(ApiError):
    code = "api.no_event"
    sentence = _("Choose at least one event.")
    field = "events"


class AddressUnusable(ApiError):
    """An address that no message may go to; ``problem`` is its code for a delivery."""

    field = "url"
    problem = "not allowed"


class AddressNotWhole(AddressUnusable):
    code = "api.address_not_whole"
    sentence = _("Write a whole address, such as https://crew.example.org/reedcrew, without user name or “#”.")


class AddressNotHttps(AddressUnusable):
    code = "api.address_not_https"
    sentence = _("The address must begin with https://, so that nobody on the way can read or change a message.")


class AddressNoName(AddressUnusable):
    code = "api.address_no_name"
    sentence = _("No machine has the name %(host)s. Look for a slip in the address.")
    problem = "no name"


class AddressNotPublic(AddressUnusable):
    code = "api.address_not_public"
    sentence = _("%(host)s is not on the public network. Messages are sent to public machines only.")
    problem = "not public"


class WebhookRemoved(ApiError):
    code = "api.webhook_removed"
    sentence = _("This webhook is removed. Take the removal back first.")


class DeliveryWaits(ApiError):
    code = "api.delivery_waits"
    sentence = _("This message waits to be sent already.")
