from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class StandsConfig(AppConfig):
    name = "reedcrew.stands"
    verbose_name = _("Stands")
    default_auto_field = "django.db.models.BigAutoField"
