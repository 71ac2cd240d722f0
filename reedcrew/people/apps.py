from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PeopleConfig(AppConfig):
    name = "reedcrew.people"
    verbose_name = _("People")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Put this app's pages into the menu."""
        from reedcrew.people.navigation import register_entries

        register_entries()
