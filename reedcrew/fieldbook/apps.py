from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FieldbookConfig(AppConfig):
    name = "reedcrew.fieldbook"
    verbose_name = _("Fieldbook")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Keep the place of whoever is on site; lend closed days to stands; add this app's pages to those of a day."""
        from reedcrew.fieldbook import needs, on_calendar, panels, receivers
        from reedcrew.fieldbook.work_records import time_on_site, work_records
        from reedcrew.people import needs as waiting
        from reedcrew.people.home import register_group_panel, register_home_panel
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_erased
        from reedcrew.stands.work_records import register
        from reedcrew.web import leaving
        from reedcrew.workdays import day_pages, presence, season_calendar
        from reedcrew.workdays.signals import day_cancelled, sign_up_absent, sign_up_withdrawn

        sign_up_withdrawn.connect(receivers.on_withdrawn)
        sign_up_absent.connect(receivers.on_marked_absent)
        day_cancelled.connect(receivers.on_day_cancelled)
        member_erased.connect(receivers.on_member_erased)
        register("fieldbook", work_records)
        day_pages.register_panel(panels.work_of_day, order=30)
        register_home_panel(panels.my_code, order=2)
        waiting.register(needs.after_the_day)
        season_calendar.register(on_calendar.bags_on_calendar)
        register_group_panel(panels.bags_in_sun, order=25)
        register_group_panel(panels.incidents_of_group, order=26)
        presence.register("fieldbook", time_on_site)
        leaving.register(
            leaving.Leaving(
                script="fieldbook/leaving.js",
                sentence=_(
                    "What this browser keeps of a fieldbook is removed when you sign out. Entries that have not "
                    "reached the server stay: open the fieldbook with a network first, until its line says that "
                    "nothing waits."
                ),
                warning=_(
                    "Entries wait on this phone: %(waits)s. Open the fieldbook with a network and let them be sent. If "
                    "you sign out all the same, they stay here until you sign in again."
                ),
            )
        )

        fieldbook = day_pages.Chapter(
            label=_("Fieldbook"),
            root="fieldbook:phone",
            first={day_pages.Phase.ON: 1, day_pages.Phase.AFTER: 1},
        )
        for order, (name, label) in enumerate(
            (
                ("people", _("Sign-in")),
                ("briefing", _("Briefing")),
                ("water", _("Water")),
                ("stems", _("Stems")),
                ("loads", _("Loads")),
                ("incidents", _("Incidents")),
                ("emergency", _("Emergency contacts")),
                ("close", _("Close the day")),
                ("phone", _("Offline fieldbook")),
                ("photos", _("Photos")),
                ("phones", _("From phones")),
            )
        ):
            day_pages.register(
                day_pages.DayPage(
                    label=label,
                    url_name=f"fieldbook:{name}",
                    deed=Deed.RUN_DAY,
                    order=50 + order,
                    chapter=fieldbook,
                    seldom=name in {"photos", "phones"},
                )
            )
