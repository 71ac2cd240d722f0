"""What the demo's commands read."""

import datetime
from dataclasses import dataclass

from django.utils.text import slugify

from reedcrew.demo import people
from reedcrew.demo.crowd import mail_of
from reedcrew.demo.places import GROUP_NAME
from reedcrew.people.models import Account, Group, Member
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoAccount:
    """Somebody of the demo whom a newcomer may want to be."""

    address: str
    name: str
    role: str
    children: tuple[str, ...]


def demo_group() -> Group | None:
    """The demo's main group, None where no demo is loaded."""
    return Group.objects.filter(slug=slugify(GROUP_NAME)).first()


def next_day(group: Group, now: datetime.datetime) -> WorkDay | None:
    """The next posted day of a group that has not ended."""
    return WorkDay.objects.of_group(group).upcoming(now).with_stand().first()


def demo_accounts(group: Group) -> list[DemoAccount]:
    """One account a role, and a volunteer with a child, as far as they are still in the group."""
    found = []
    for name in (people.ORGANIZER, people.COORDINATOR, people.LEADS[0], people.PARENT):
        account = Account.objects.filter(email=mail_of(name)).first()
        member = account and Member.objects.current().of_account(account).filter(group=group).first()
        if account and member:
            children = tuple(member.children.current().values_list("name", flat=True))
            found.append(
                DemoAccount(address=account.email, name=member.name, role=member.get_role_display(), children=children)
            )
    return found
