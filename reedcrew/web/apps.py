from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class WebConfig(AppConfig):
    name = "reedcrew.web"
    verbose_name = _("Web")
    default_auto_field = "django.db.models.BigAutoField"
