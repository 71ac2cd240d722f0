from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class GrantsConfig(AppConfig):
    name = "reedcrew.grants"
    verbose_name = _("Grants")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of closed days and forgotten people; fill the menu; put one’s own hours on the first page."""
        from reedcrew.grants import needs, panels, receivers
        from reedcrew.people import needs as waiting
        from reedcrew.people.home import register_home_panel
        from reedcrew.people.navigation import member_may
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_erased
        from reedcrew.web import navigation
        from reedcrew.workdays import day_pages, my_day
        from reedcrew.workdays.signals import day_closed

        day_closed.connect(receivers.on_day_closed)
        member_erased.connect(receivers.on_member_erased)
        register_home_panel(panels.my_hours, order=40)
        my_day.register(panels.hours_of_day, order=20)
        waiting.register(needs.office)
        day_pages.register(
            day_pages.DayPage(
                label=_("Hours"),
                url_name="grants:day_hours",
                deed=Deed.SEE_HOURS,
                order=70,
                first={day_pages.Phase.AFTER: 2},
            )
        )
        for order, (name, label, deed) in enumerate(
            (
                ("season", _("Season"), Deed.SEE_SEASON),
                ("hours", _("Hours"), Deed.SEE_HOURS),
                ("grants", _("Grants"), Deed.SEE_HOURS),
            )
        ):
            navigation.register(
                navigation.Entry(
                    label=label,
                    url_name=f"grants:{name}",
                    section=navigation.Section.REPORTS,
                    order=60 + order,
                    icon="chart",
                    of_group=True,
                    visible=member_may(deed),
                )
            )
