from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class GrantsConfig(AppConfig):
    name = "reedcrew.grants"
    verbose_name = _("Grants")
    default_auto_field = "django.db.models.BigAutoField"
