from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class OperationConfig(AppConfig):
    name = "reedcrew.operation"
    verbose_name = _("Operation")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Put the operators' page into the menu of those who may see it."""
        from reedcrew.operation.access import is_operator
        from reedcrew.web import navigation

        navigation.register(
            navigation.Entry(
                label=_("Installation"),
                url_name="operation:installation",
                section=navigation.Section.SITE,
                order=95,
                icon="list",
                visible=is_operator,
            )
        )
