from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class WorkdaysConfig(AppConfig):
    name = "reedcrew.workdays"
    verbose_name = _("Work days")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of people who leave and sites that change; show days on start pages, in the menu and in a day's head."""
        from django.contrib.auth.signals import user_logged_in

        from reedcrew.people import first_steps as way
        from reedcrew.people import needs as waiting
        from reedcrew.people.home import register_group_panel, register_home_panel
        from reedcrew.people.retention import register_keeper
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_left
        from reedcrew.stands.signals import season_changed, site_changed, zone_changed
        from reedcrew.web import navigation
        from reedcrew.workdays import (
            day_pages,
            first_steps,
            my_day,
            needs,
            own,
            panels,
            receivers,
            retention,
            season_calendar,
        )

        user_logged_in.connect(receivers.on_signed_in)
        member_left.connect(receivers.on_member_left)
        site_changed.connect(receivers.on_site_changed)
        zone_changed.connect(receivers.on_zone_changed)
        season_changed.connect(receivers.on_season_changed)

        register_keeper("private records", retention.empty_private_of_absent)

        my_day.register(own.done_together, order=10)
        my_day.register(own.late_or_away, order=60)
        register_home_panel(panels.my_next_days, order=10)
        waiting.register(needs.days_to_come)
        waiting.register(needs.surveys)
        way.register(first_steps.day_step, order=50)
        way.register_begun(first_steps.has_begun)
        season_calendar.register(season_calendar.days_on_calendar)
        season_calendar.register(season_calendar.surveys_on_calendar)
        register_group_panel(panels.next_days_of_group, order=10)

        navigation.register(
            navigation.Entry(
                label=_("My days"), url_name="workdays:my_days", order=2, icon="day", visible=navigation.signed_in
            )
        )
        navigation.register(
            navigation.Entry(
                label=_("Work days"),
                url_name="workdays:days",
                section=navigation.Section.SEASON,
                order=20,
                icon="day",
                of_group=True,
            )
        )
        day_pages.register(
            day_pages.DayPage(
                label=_("The day"),
                url_name="workdays:day",
                deed=Deed.SEE_GROUP,
                order=10,
                first=day_pages.ALWAYS_FIRST,
            )
        )
        day_pages.register(
            day_pages.DayPage(
                label=_("Roster"),
                url_name="workdays:roster",
                deed=Deed.SEE_ROSTER,
                order=20,
                first={day_pages.Phase.BEFORE: 1},
            )
        )
