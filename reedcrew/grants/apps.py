from django.apps import AppConfig
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _


class GrantsConfig(AppConfig):
    name = "reedcrew.grants"
    verbose_name = _("Grants")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from reedcrew.grants import receivers
        from reedcrew.people.roles import Deed
        from reedcrew.web import navigation
        from reedcrew.workdays.signals import day_closed

        def sees_hours(request: HttpRequest) -> bool:
            member = getattr(request, "member", None)
            return member is not None and member.may(Deed.SEE_HOURS)

        day_closed.connect(receivers.on_day_closed)
        for order, (name, label) in enumerate((("hours", _("Hours")), ("grants", _("Grants")))):
            navigation.register(
                navigation.Entry(
                    label=label,
                    url_name=f"grants:{name}",
                    order=60 + order,
                    icon="chart",
                    of_group=True,
                    visible=sees_hours,
                )
            )
