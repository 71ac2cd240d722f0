from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FieldbookConfig(AppConfig):
    name = "reedcrew.fieldbook"
    verbose_name = _("Fieldbook")
    default_auto_field = "django.db.models.BigAutoField"
