from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class InvitesConfig(AppConfig):
    name = "reedcrew.invites"
    verbose_name = _("Invites")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Hear of places and days; put the outbox into the menu."""
        from allauth.account.signals import email_changed

        from reedcrew.crews.signals import plan_accepted
        from reedcrew.invites import forgetting, needs, panels, receivers
        from reedcrew.people import needs as waiting
        from reedcrew.people.home import register_home_panel
        from reedcrew.people.navigation import member_may
        from reedcrew.people.retention import register_keeper
        from reedcrew.people.roles import Deed
        from reedcrew.people.signals import account_erased, member_erased
        from reedcrew.web import navigation
        from reedcrew.workdays import day_pages, my_day, signals

        signals.sign_up_confirmed.connect(receivers.on_place)
        signals.sign_up_waits.connect(receivers.on_place)
        signals.place_offered.connect(receivers.on_offer)
        signals.offer_lapsed.connect(receivers.on_offer)
        signals.sign_up_withdrawn.connect(receivers.on_withdrawn)
        signals.day_changed.connect(receivers.on_day_changed)
        signals.day_cancelled.connect(receivers.on_day_cancelled)
        signals.day_closed.connect(receivers.on_day_closed)
        signals.incident_recorded.connect(receivers.on_incident)
        plan_accepted.connect(receivers.on_plan_accepted)
        email_changed.connect(receivers.on_address_changed)
        member_erased.connect(receivers.on_member_erased)
        account_erased.connect(receivers.on_account_erased)

        register_keeper("last mails to erased people", forgetting.remove_sent_to_erased)
        register_keeper("mails", forgetting.remove_old_mail)

        day_pages.register(
            day_pages.DayPage(label=_("Write to the roster"), url_name="invites:write", deed=Deed.POST_DAY, order=40)
        )
        my_day.register(panels.calendar_of_day, order=50)
        register_home_panel(panels.my_address, order=5)
        waiting.register(needs.mail)
        navigation.register(
            navigation.Entry(
                label=_("Outbox"),
                url_name="invites:outbox",
                section=navigation.Section.MAIL,
                order=70,
                icon="mail",
                of_group=True,
                visible=member_may(Deed.SEE_MAIL),
            )
        )
        navigation.register(
            navigation.Entry(
                label=_("Inbox"),
                url_name="invites:inbox",
                section=navigation.Section.MAIL,
                order=71,
                icon="mail",
                of_group=True,
                visible=member_may(Deed.SEE_MAIL),
            )
        )
        navigation.register(
            navigation.Entry(
                label=_("Public calendar"),
                url_name="invites:group_calendar",
                section=navigation.Section.SEASON,
                order=35,
                icon="day",
                of_group=True,
                visible=member_may(Deed.SEE_GROUP),
            )
        )
        navigation.register(
            navigation.Entry(
                label=_("Mail and calendar"),
                url_name="invites:mail_and_calendar",
                section=navigation.Section.SITE,
                order=92,
                icon="mail",
                visible=navigation.signed_in,
            )
        )
