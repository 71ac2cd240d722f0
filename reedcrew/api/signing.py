"""Signing a message, so that its receiver knows that it is from us, whole and fresh."""

import datetime
import hashlib
import hmac
from collections.abc import Sequence

EVENT_HEADER = "Reedcrew-Event"
CODE_HEADER = "Reedcrew-Message"  # the same in every try: by it a receiver knows a repeat
TIME_HEADER = "Reedcrew-Sent-At"  # seconds since 1970-01-01 UTC
SIGNATURE_HEADER = "Reedcrew-Signature"  # one HMAC, or two with a comma between while two secrets hold


def signature(secret: str, sent_at: str, body: bytes) -> str:
    """HMAC-SHA256 (RFC 2104) over the time as sent, a point and the body, in hexadecimal digits."""
    return hmac.new(secret.encode(), sent_at.encode() + b"." + body, hashlib.sha256).hexdigest()


def signed_headers(*, secrets: Sequence[str], now: datetime.datetime, body: bytes) -> dict[str, str]:
    """The headers that carry time and signatures of a message sent now."""
    sent_at = str(int(now.timestamp()))
    return {TIME_HEADER: sent_at, SIGNATURE_HEADER: ",".join(signature(secret, sent_at, body) for secret in secrets)}
