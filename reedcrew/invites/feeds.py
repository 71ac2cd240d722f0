"""Calendars to subscribe to: one private address a person, one public address a group.

A poll that has the present state costs two small queries and builds no calendar: the state is told by a few sums over
rows that rise with every change. Unchanged rows give unchanged bytes.
"""

import datetime
import hashlib
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import Count, Max, QuerySet, Sum
from django.utils.translation import gettext, override

from reedcrew.crews.queries import told_places
from reedcrew.invites.calendar.events import FeedEvent, Status, Transparency
from reedcrew.invites.calendar.message import feed_bytes
from reedcrew.invites.composing import day_url, event_of
from reedcrew.invites.models import CalendarEntry, FeedAddress, GroupFeed
from reedcrew.people.audit import record
from reedcrew.people.languages import writing_to
from reedcrew.people.models import Account, Group, Member
from reedcrew.workdays.models import SignUp, WorkDay, WorkDayQuerySet

TOKEN_OCTETS = 24  # 192 random bits
CODE_OCTETS = 12
DAYS_BACK = datetime.timedelta(days=90)
FORM = 1  # of what a calendar holds: raise it when its bytes change without a change of rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A calendar that is there, with the entity tag of its present bytes (RFC 9110 section 8.8.3)."""

    etag: str
    owner: Account | Group
    now: datetime.datetime

    def as_bytes(self) -> bytes:
        """The calendar object; as many queries whatever its length."""
        if isinstance(self.owner, Account):
            with override(self.owner.language or settings.LANGUAGE_CODE):
                name = gettext("My work days")
            events = _own_events(self.owner, self.now)
        else:
            name, events = self.owner.name, _group_events(self.owner, self.now)
        domain = settings.MAIL_FROM.rpartition("@")[2]
        uid = f"{type(self.owner).__name__.lower()}-{self.owner.pk}@{domain}"
        return feed_bytes(name=name, uid=uid, events=events)


def personal_feed(token: str, now: datetime.datetime) -> Feed | None:
    """The calendar at a private address; None for an address that never was or is no more. Two queries."""
    address = FeedAddress.objects.select_related("account").filter(digest=_digest(token)).first()
    if address is None or not address.account.is_active:
        return None
    state = _own_entries(address.account, now).aggregate(
        Count("pk"),
        Max("last_dtstamp"),
        Sum("sequence"),
        Sum("pk"),
        Count("cancelled_at"),
        Max("sign_up__day__stand__site__group__language"),
    )
    state |= {"language": address.account.language, "units": address.account.units}
    return Feed(etag=_etag("person", address.account_id, state), owner=address.account, now=now)


def group_feed(code: str, now: datetime.datetime) -> Feed | None:
    """The calendar at a group's public address; None where there is none. Two queries."""
    feed = GroupFeed.objects.select_related("group").filter(code=code).first()
    if feed is None:
        return None
    state = _days(feed.group, now).aggregate(
        Count("pk"), Sum("version"), Sum("pk"), Sum("stand__site__version"), Max("posted_at")
    )
    return Feed(etag=_etag("group", feed.group_id, {**state, "name": feed.group.name}), owner=feed.group, now=now)


def day_bytes(day: WorkDay, account: Account, now: datetime.datetime) -> bytes | None:
    """One day as a calendar file: the account's own entries and its children's; None where it has none on that day.

    The entries have the identities of the invitations, so that a calendar which holds one of them keeps one.
    """
    events = list(_own_events(account, now, day=day))
    if not events:
        return None
    domain = settings.MAIL_FROM.rpartition("@")[2]
    return feed_bytes(name=day.title, uid=f"day-{day.share_code}-{account.pk}@{domain}", events=events)


@transaction.atomic
def make_address(*, account: Account, now: datetime.datetime) -> str:
    """A fresh private address; an earlier one stops working. It is told this once and kept as a digest only."""
    token = secrets.token_urlsafe(TOKEN_OCTETS)
    FeedAddress.objects.update_or_create(account=account, defaults={"digest": _digest(token), "made_at": now})
    return token


@transaction.atomic
def revoke_address(*, account: Account) -> None:
    """End the private address; again changes nothing."""
    FeedAddress.objects.filter(account=account).delete()


@transaction.atomic
def open_group_feed(*, group: Group, actor: Account, now: datetime.datetime) -> GroupFeed:
    """Open the public calendar of a group; one that is open stays as it is."""
    feed, made = GroupFeed.objects.get_or_create(
        group=group, defaults={"code": secrets.token_urlsafe(CODE_OCTETS), "opened_at": now}
    )
    if made:
        record(group=group, actor=actor, at=now, deed="public calendar opened", subject=feed)
    return feed


@transaction.atomic
def close_group_feed(*, group: Group, actor: Account, now: datetime.datetime) -> None:
    """Close the public calendar; its address does not come back."""
    if GroupFeed.objects.filter(group=group).delete()[0]:
        record(group=group, actor=actor, at=now, deed="public calendar closed", subject=group)


# --- Private ---------------------------------------------------------------------------------------------------------


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _etag(kind: str, pk: int, state: dict[str, object]) -> str:
    told = "|".join(f"{name}={value}" for name, value in sorted(state.items()))
    return f'"{hashlib.sha256(f"{FORM}|{kind}|{pk}|{told}".encode()).hexdigest()[:32]}"'


def _own_entries(account: Account, now: datetime.datetime) -> QuerySet[CalendarEntry]:
    """What an account's calendars hold: its own sign-ups and its children's, without those that were withdrawn."""
    return CalendarEntry.objects.filter(
        sign_up__member__in=Member.objects.in_care_of_account(account),
        sign_up__day__ends_at__gt=now - DAYS_BACK,
    ).exclude(sign_up__state=SignUp.State.WITHDRAWN)


def _own_events(account: Account, now: datetime.datetime, *, day: WorkDay | None = None) -> Iterable[FeedEvent]:
    """What the account's calendars hold, or of it what is on one day."""
    held = _own_entries(account, now)
    if day is not None:
        held = held.filter(sign_up__day=day)
    entries = list(held.select_related("sign_up__member", "sign_up__day__stand__site__group"))
    places = told_places([entry.sign_up for entry in entries])
    for entry in entries:
        with writing_to(account, entry.sign_up.day.group):
            event = event_of(entry.sign_up, entry, place=places.get(entry.sign_up_id))
        if entry.sign_up.day.status == WorkDay.Status.CANCELLED:
            if entry.sign_up.day.has_ended(now):
                continue
            yield _plain(event, Status.CANCELLED)
        else:
            yield _plain(event, event.status)


def _plain(event: FeedEvent, status: Status) -> FeedEvent:
    """Without organizer, person and answer, which belong into messages only (RFC 5545 sections 3.8.4.1 and 3.8.4.3)."""
    return FeedEvent(
        uid=event.uid,
        sequence=event.sequence,
        dtstamp=event.dtstamp,
        start=event.start,
        end=event.end,
        summary=event.summary,
        description=event.description,
        location=event.location,
        latitude=event.latitude,
        longitude=event.longitude,
        url=event.url,
        status=status,
        transparency=event.transparency,
    )


def _days(group: Group, now: datetime.datetime) -> WorkDayQuerySet:
    return WorkDay.objects.of_group(group).filter(ends_at__gt=now - DAYS_BACK)


def _group_events(group: Group, now: datetime.datetime) -> Iterable[FeedEvent]:
    domain = settings.MAIL_FROM.rpartition("@")[2]
    for day in _days(group, now).with_stand():
        is_cancelled = day.status == WorkDay.Status.CANCELLED
        if is_cancelled and day.has_ended(now):
            continue
        site, zone = day.stand.site, ZoneInfo(day.stand.site.time_zone)
        yield FeedEvent(
            uid=f"day-{day.share_code}@{domain}",
            sequence=day.version - 1,
            dtstamp=day.posted_at.replace(microsecond=0).astimezone(datetime.UTC),
            start=day.starts_at.astimezone(zone),
            end=day.ends_at.astimezone(zone),
            summary=day.title,
            description=day_url(day),
            location=f"{site.meeting_place}, {site.name}",
            latitude=float(site.latitude),
            longitude=float(site.longitude),
            url=day_url(day),
            status=Status.CANCELLED if is_cancelled else Status.CONFIRMED,
            transparency=Transparency.TRANSPARENT,
        )
