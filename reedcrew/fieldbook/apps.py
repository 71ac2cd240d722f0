from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FieldbookConfig(AppConfig):
    name = "reedcrew.fieldbook"
    verbose_name = _("Fieldbook")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Add this app's pages to those of a day."""
        from reedcrew.people.roles import Deed
        from reedcrew.workdays import day_pages

        for order, (name, label) in enumerate(
            (
                ("people", _("Sign-in")),
                ("stems", _("Stems")),
                ("loads", _("Loads")),
                ("close", _("Close the day")),
                ("emergency", _("Emergency contacts")),
            )
        ):
            day_pages.register(
                day_pages.DayPage(label=label, url_name=f"fieldbook:{name}", deed=Deed.RUN_DAY, order=50 + order)
            )
