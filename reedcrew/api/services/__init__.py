"""Everything that changes tokens, webhooks and their messages."""

from reedcrew.api.services.deliveries import deliver, due_deliveries, forget_old, send_again, send_trial, tell
from reedcrew.api.services.tokens import (
    end_tokens_of,
    forget_tokens_of,
    holder_of,
    make_token,
    note_use,
    revoke_token,
)
from reedcrew.api.services.webhooks import (
    add_webhook,
    new_secret,
    pause_webhook,
    remove_webhook,
    restore_webhook,
    resume_webhook,
)

__all__ = [
    "add_webhook",
    "deliver",
    "due_deliveries",
    "end_tokens_of",
    "forget_old",
    "forget_tokens_of",
    "holder_of",
    "make_token",
    "new_secret",
    "note_use",
    "pause_webhook",
    "remove_webhook",
    "restore_webhook",
    "resume_webhook",
    "revoke_token",
    "send_again",
    "send_trial",
    "tell",
]
