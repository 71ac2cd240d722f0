"""What every template may ask of the installation."""

from django.conf import settings
from django.http import HttpRequest


def installation(request: HttpRequest) -> dict[str, object]:
    """``mail_page``: whether mail is shown on the site; ``support_email``: whom to write to; ``languages``: what it
    speaks, each language by its own name."""
    return {
        "mail_page": settings.MAIL_PAGE,
        "support_email": settings.SUPPORT_EMAIL,
        "languages": settings.LANGUAGES,
    }
