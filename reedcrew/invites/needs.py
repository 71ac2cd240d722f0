"""Mail that asks for an organizer's eyes: what came in, what was refused, what does not get through."""

import datetime
from collections.abc import Iterator, Sequence

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.invites.models import IncomingMail, OutgoingMail
from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.roles import Deed
from reedcrew.trade.attention import Matter


def mail(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """For those who see the mail. Three queries, however many mails."""
    groups = groups_of(members, Deed.SEE_MAIL)
    if not groups:
        return
    came = IncomingMail.objects.filter(group__in=groups).to_look_at()
    sent = OutgoingMail.objects.filter(group__in=groups)
    looks, refused, held_up = (
        dict(rows.order_by().values_list("group").annotate(number=Count("pk")))
        for rows in (came, sent.filter(state=OutgoingMail.State.REFUSED), sent.held_up())
    )
    for group in groups:
        if number := looks.get(group.pk):
            words = ngettext(
                "%(number)d mail came in that nobody has looked at.",
                "%(number)d mails came in that nobody has looked at.",
                number,
            )
            yield Need(
                matter=Matter.MAIL_IN,
                group=group,
                words=words % {"number": number},
                step=_("Read them"),
                url=reverse("invites:inbox", args=[group.slug]),
            )
        outbox = reverse("invites:outbox", args=[group.slug])
        if number := refused.get(group.pk):
            words = ngettext("%(number)d mail was refused for good.", "%(number)d mails were refused for good.", number)
            yield Need(
                matter=Matter.MAIL_REFUSED,
                group=group,
                words=words % {"number": number},
                step=_("See whom to ask"),
                url=f"{outbox}?state=refused",
            )
        if number := held_up.get(group.pk):
            words = ngettext(
                "%(number)d mail did not get through yet and is tried again.",
                "%(number)d mails did not get through yet and are tried again.",
                number,
            )
            yield Need(
                matter=Matter.MAIL_REFUSED,
                group=group,
                words=words % {"number": number},
                step=_("See what stops them"),
                url=f"{outbox}?state=waiting",
            )
