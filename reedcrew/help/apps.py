from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class HelpConfig(AppConfig):
    name = "reedcrew.help"
    verbose_name = _("Help")

    def ready(self) -> None:
        """Put the help into the menu, and let every code that a page shows lead to it."""
        from reedcrew.help.finding import link_for
        from reedcrew.web import help_links, navigation

        help_links.register(link_for)
        navigation.register(
            navigation.Entry(
                label=_("Help"), url_name="help:index", section=navigation.Section.SITE, order=90, icon="info"
            )
        )
