"""Tables of tokens, webhooks and what is sent to them."""

from reedcrew.api.models.tokens import ApiToken
from reedcrew.api.models.webhooks import Delivery, Event, Webhook

__all__ = ["ApiToken", "Delivery", "Event", "Webhook"]
