from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class InvitesConfig(AppConfig):
    name = "reedcrew.invites"
    verbose_name = _("Invites")
    default_auto_field = "django.db.models.BigAutoField"
