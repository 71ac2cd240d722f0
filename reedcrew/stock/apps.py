from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class StockConfig(AppConfig):
    name = "reedcrew.stock"
    verbose_name = _("Stock")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Put this app's page into the menu, and what waits on the first page."""
        from reedcrew.people import first_steps as way
        from reedcrew.people import needs as waiting
        from reedcrew.people.navigation import member_may
        from reedcrew.people.roles import Deed
        from reedcrew.stock import first_steps, needs
        from reedcrew.web.navigation import Entry, Section, register

        waiting.register(needs.gear)
        way.register(first_steps.stock_step, order=30)
        register(
            Entry(
                label=_("Stock"),
                url_name="stock:stock",
                section=Section.PEOPLE_AND_GEAR,
                order=40,
                icon="gear",
                of_group=True,
                visible=member_may(Deed.SEE_STOCK),
            )
        )
