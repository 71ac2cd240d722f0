import hashlib
import hmac
import time
from collections.abc import Mapping

LATEST_S = 300  # an older message may be one that somebody caught and sends again


def is_from_reedcrew(secret: str, headers: Mapping[str, str], body: bytes, now: float | None = None) -> bool:
    """Whether a message was signed with our secret, is whole, and was sent just now.

    ``body`` are the octets as they came, before any JSON is read.
    """
    sent_at = headers.get("Reedcrew-Sent-At", "")
    if not sent_at.isdigit() or abs((time.time() if now is None else now) - int(sent_at)) > LATEST_S:
        return False
    right = hmac.new(secret.encode(), sent_at.encode() + b"." + body, hashlib.sha256).hexdigest()
    signatures = headers.get("Reedcrew-Signature", "").split(",")
    return any(hmac.compare_digest(right, signature) for signature in signatures)
