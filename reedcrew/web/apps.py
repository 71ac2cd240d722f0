from django.apps import AppConfig
from django.core.checks import Tags, register
from django.utils.translation import gettext_lazy as _

from reedcrew.web.checks import check_menu, check_settings


class WebConfig(AppConfig):
    name = "reedcrew.web"
    verbose_name = _("Web")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Let Django know of this app's checks."""
        register(check_settings, Tags.security)
        register(check_menu, Tags.urls)
