from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PeopleConfig(AppConfig):
    name = "reedcrew.people"
    verbose_name = _("People")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Put this app's pages into the menu; have old looks removed; watch who signs in and in which language."""
        from allauth.account.signals import email_changed
        from allauth.mfa.signals import authenticator_added, authenticator_removed
        from django.contrib.auth.signals import user_logged_in, user_logged_out

        from reedcrew.people import first_steps, languages, own_steps, security_log
        from reedcrew.people.navigation import register_entries
        from reedcrew.people.retention import register_keeper, remove_old_looks

        register_entries()
        register_keeper("looks", remove_old_looks)
        first_steps.register(own_steps.rules_step, order=20)
        first_steps.register(own_steps.people_step, order=40)

        user_logged_in.connect(security_log.on_signed_in)
        user_logged_in.connect(languages.on_signed_in)
        user_logged_out.connect(security_log.on_signed_out)
        email_changed.connect(security_log.on_address_changed)
        authenticator_added.connect(security_log.on_authenticator_added)
        authenticator_removed.connect(security_log.on_authenticator_removed)
