from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PeopleConfig(AppConfig):
    name = "reedcrew.people"
    verbose_name = _("People")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Put this app's pages into the menu; have old looks removed."""
        from reedcrew.people.navigation import register_entries
        from reedcrew.people.retention import register_keeper, remove_old_looks

        register_entries()
        register_keeper("looks", remove_old_looks)
