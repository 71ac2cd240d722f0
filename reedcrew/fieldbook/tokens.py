"""Tokens of links that open something without an account."""

import hashlib
import secrets

TOKEN_BYTES = 24  # 192 bits: nobody guesses it


def new_token() -> str:
    """A token as it stands in an address."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def digest_of(token: str) -> str:
    """SHA-256 of a token, in hexadecimal: what is kept of it."""
    return hashlib.sha256(token.encode()).hexdigest()
