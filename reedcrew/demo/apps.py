from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class DemoConfig(AppConfig):
    name = "reedcrew.demo"
    verbose_name = _("Demo season")
    default_auto_field = "django.db.models.BigAutoField"
