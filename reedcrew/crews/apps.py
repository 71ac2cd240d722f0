from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CrewsConfig(AppConfig):
    name = "reedcrew.crews"
    verbose_name = _("Crews")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of what makes a plan due; add the plan to a day's pages, and places and readiness to start pages."""
        from reedcrew.crews import needs, panels, readiness, receivers
        from reedcrew.crews.gear import receivers as gear
        from reedcrew.crews.gear.set_links import hand_out_links
        from reedcrew.crews.signals import plan_accepted
        from reedcrew.people import needs as waiting
        from reedcrew.people.home import register_home_panel
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_changed, policy_changed
        from reedcrew.stands.signals import identification_changed, zone_changed
        from reedcrew.stock import set_actions
        from reedcrew.stock.signals import stock_changed
        from reedcrew.workdays import day_pages, my_day
        from reedcrew.workdays.day_pages import DayPage, Phase
        from reedcrew.workdays.signals import day_cancelled, day_changed, roster_changed

        roster_changed.connect(receivers.on_roster_changed)
        zone_changed.connect(receivers.on_zone_changed)
        identification_changed.connect(receivers.on_identification_changed)
        member_changed.connect(receivers.on_member_changed)
        policy_changed.connect(receivers.on_group_changed)
        stock_changed.connect(receivers.on_group_changed)
        plan_accepted.connect(gear.on_plan_accepted)
        day_changed.connect(gear.on_day_changed)
        day_cancelled.connect(gear.on_day_cancelled)
        set_actions.register(hand_out_links)
        readiness.register(readiness.lines_of_plan, order=10)
        readiness.register(readiness.lines_of_day, order=20)
        my_day.register(panels.my_places_of_day, order=20)
        my_day.register(panels.weather_of_day, order=30)
        register_home_panel(panels.my_places, order=20)
        waiting.register(needs.days_ahead)
        day_pages.register_panel(panels.readiness_of_day, order=10)
        day_pages.register_panel(panels.my_places_on_day, order=5)
        day_pages.register_panel(panels.daylight_of_day, order=30)
        for order, (name, label, deed, first) in enumerate(
            (
                ("weather", _("Weather"), Deed.SEE_GROUP, {Phase.BEFORE: 4, Phase.ON: 4}),
                ("plan", _("Plan"), Deed.PLAN_CREWS, {Phase.BEFORE: 2, Phase.ON: 3}),
                ("gear_list", _("Gear list"), Deed.SEE_STOCK, {Phase.BEFORE: 3}),
                ("gear", _("Gear"), Deed.HANDLE_GEAR, {Phase.ON: 2, Phase.AFTER: 3}),
                ("paper", _("Paper"), Deed.RUN_DAY, {}),
            )
        ):
            day_pages.register(DayPage(label=label, url_name=f"crews:{name}", deed=deed, order=41 + order, first=first))
