from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class WorkdaysConfig(AppConfig):
    name = "reedcrew.workdays"
    verbose_name = _("Work days")
    default_auto_field = "django.db.models.BigAutoField"
