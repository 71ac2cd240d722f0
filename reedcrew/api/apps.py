from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ApiConfig(AppConfig):
    name = "reedcrew.api"
    verbose_name = _("Other programs")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of days, and of people who leave or change their role; put the page into the menu."""
        from reedcrew.api import receivers, services
        from reedcrew.people.navigation import member_may
        from reedcrew.people.retention import register_keeper
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import member_changed, member_erased, member_left
        from reedcrew.web import navigation
        from reedcrew.workdays.signals import day_closed, day_posted

        day_posted.connect(receivers.on_day_posted)
        day_closed.connect(receivers.on_day_closed)
        member_changed.connect(receivers.on_member_changed)
        member_left.connect(receivers.on_member_left)
        member_erased.connect(receivers.on_member_erased)
        register_keeper("messages to webhooks", services.forget_old)
        navigation.register(
            navigation.Entry(
                label=_("Other programs"),
                url_name="api:programs",
                section=navigation.Section.SETTINGS,
                order=85,
                icon="list",
                of_group=True,
                visible=member_may(Deed.KEEP_TOKENS),
            )
        )
