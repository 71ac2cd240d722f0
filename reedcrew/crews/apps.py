from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CrewsConfig(AppConfig):
    name = "reedcrew.crews"
    verbose_name = _("Crews")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of what makes a plan due; add the plan to the pages of a day."""
        from reedcrew.crews import receivers
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_changed, policy_changed
        from reedcrew.stands.signals import zone_changed
        from reedcrew.stock.signals import stock_changed
        from reedcrew.workdays import day_pages
        from reedcrew.workdays.signals import roster_changed

        roster_changed.connect(receivers.on_roster_changed)
        zone_changed.connect(receivers.on_zone_changed)
        member_changed.connect(receivers.on_member_changed)
        policy_changed.connect(receivers.on_group_changed)
        stock_changed.connect(receivers.on_group_changed)
        day_pages.register(day_pages.DayPage(label=_("Plan"), url_name="crews:plan", deed=Deed.PLAN_CREWS, order=30))
