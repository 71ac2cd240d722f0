from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class StandsConfig(AppConfig):
    name = "reedcrew.stands"
    verbose_name = _("Stands")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of people who are to be forgotten; put this app's pages into the menu."""
        from reedcrew.people import first_steps as way
        from reedcrew.people import needs as waiting
        from reedcrew.people.navigation import member_may
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_erased
        from reedcrew.stands import first_steps, needs, receivers
        from reedcrew.web.navigation import Entry, Section, register

        member_erased.connect(receivers.on_member_erased)
        waiting.register(needs.identifications)
        way.register(first_steps.ground_steps, order=10)

        register(
            Entry(
                label=_("Stands"),
                url_name="stands:stands",
                section=Section.SEASON,
                order=30,
                icon="place",
                of_group=True,
                visible=member_may(Deed.SEE_GROUP),
            )
        )
        register(
            Entry(
                label=_("Map"),
                url_name="stands:map",
                section=Section.SEASON,
                order=31,
                icon="map",
                of_group=True,
                visible=member_may(Deed.SEE_GROUP),
            )
        )
