"""Settings that contradict each other, found at the start instead of by a user."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning
from django.urls import NoReverseMatch

from reedcrew.web import navigation
from reedcrew.web.words import catalogs


def check_settings(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """All contradictions among the settings that the web app depends on, each with its remedy."""
    return [*_mail(), *_pages(), *_signing_in(), *_words()]


def check_menu(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Entries of the menu whose page does not exist: each of them would break every page that shows the menu."""
    found: list[CheckMessage] = []
    for entry in navigation.entries():
        try:
            navigation.address(entry, "slug")
        except NoReverseMatch as error:
            found.append(
                Error(
                    f"The menu's entry {entry.url_name} leads nowhere: {error}",
                    hint="Name a URL that exists; an entry of a group takes the group's slug and nothing else.",
                    id="reedcrew.web.E007",
                )
            )
    return found


def _mail() -> list[CheckMessage]:
    found: list[CheckMessage] = []
    in_folder = settings.EMAIL_BACKEND == "reedcrew.web.mailfolder.FolderBackend"
    if settings.MAIL_PAGE and settings.HOSTED:
        found.append(
            Error(
                "MAIL_PAGE shows every mail, sign-in codes included, to everyone who reaches a hosted site.",
                hint="Set EMAIL_URL, so that mail is delivered and the page is absent.",
                id="reedcrew.web.E001",
            )
        )
    if in_folder and not settings.MAIL_PAGE:
        found.append(
            Error(
                "Mail is written to MAIL_DIR but MAIL_PAGE is off: nobody would ever read a sign-in code.",
                hint="Set EMAIL_URL to a mail server, or turn MAIL_PAGE on.",
                id="reedcrew.web.E002",
            )
        )
    if settings.MAIL_PAGE and not in_folder:
        found.append(
            Warning(
                "MAIL_PAGE is on but EMAIL_BACKEND does not write to MAIL_DIR: the page will stay empty.",
                hint="Turn MAIL_PAGE off where mail is delivered.",
                id="reedcrew.web.W001",
            )
        )
    return found


def _pages() -> list[CheckMessage]:
    found: list[CheckMessage] = []
    if settings.FORM_RENDERER != "reedcrew.web.forms.ElementRenderer" or "django.forms" not in settings.INSTALLED_APPS:
        found.append(
            Error(
                "Forms would not be rendered with their labels, help and errors tied together.",
                hint='Set FORM_RENDERER to "reedcrew.web.forms.ElementRenderer" and list "django.forms" in '
                "INSTALLED_APPS.",
                id="reedcrew.web.E003",
            )
        )
    if "reedcrew.web.middleware.RefusalMiddleware" not in settings.MIDDLEWARE:
        found.append(
            Error(
                "A refusal that no form catches would reach people as an inner error.",
                hint='Add "reedcrew.web.middleware.RefusalMiddleware" at the end of MIDDLEWARE.',
                id="reedcrew.web.E004",
            )
        )
    directives = settings.CONTENT_SECURITY_POLICY.get("DIRECTIVES", {})
    loose = {"'unsafe-inline'", "'unsafe-eval'"}
    found.extend(
        Error(
            f"The content policy's {name} lets a page run or style what a stranger wrote into it.",
            hint="Keep scripts and styles in static files; nothing of this site needs the exception.",
            id="reedcrew.web.E005",
        )
        for name in ("script-src", "style-src", "default-src")
        if loose & set(directives.get(name, []))
    )
    return found


def _signing_in() -> list[CheckMessage]:
    if getattr(settings, "ACCOUNT_LOGIN_BY_CODE_ENABLED", False):
        return []
    return [
        Error(
            "People sign in by a mailed code, but ACCOUNT_LOGIN_BY_CODE_ENABLED is off: nobody could sign in.",
            hint="Turn ACCOUNT_LOGIN_BY_CODE_ENABLED on.",
            id="reedcrew.web.E006",
        )
    ]


def _words() -> list[CheckMessage]:
    stale = [language for language, path in catalogs.written() if not catalogs.is_compiled(path)]
    if not stale:
        return []
    return [
        Error(
            f"Translations are not compiled as they stand: {', '.join(stale)}. The site would speak English instead.",
            hint="Run: python manage.py words compile",
            id="reedcrew.web.E008",
        )
    ]
