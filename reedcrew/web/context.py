"""What every template may ask of the installation."""

from django.conf import settings
from django.http import HttpRequest

from reedcrew.web import amounts


def installation(request: HttpRequest) -> dict[str, object]:
    """``mail_page``: whether mail is shown on the site; ``support_email``: whom to write to; ``languages``: what it
    speaks, each language by its own name; ``with_customary``: whether the reader gets US customary amounts too."""
    return {
        "mail_page": settings.MAIL_PAGE,
        "support_email": settings.SUPPORT_EMAIL,
        "languages": settings.LANGUAGES,
        "with_customary": amounts.are_with_customary(),
    }
