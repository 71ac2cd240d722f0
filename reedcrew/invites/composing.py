"""From a sign-up's rows to its calendar event and letter."""

from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils.translation import gettext

from reedcrew.crews.queries import OwnPlace
from reedcrew.crews.records import Record
from reedcrew.invites.answer_links import Purpose, answer_url
from reedcrew.invites.calendar.events import CalendarEvent, PartStat, Status, Transparency
from reedcrew.invites.calendar.rules import CONSEQUENCES, Change, Letter
from reedcrew.invites.drafts import Draft
from reedcrew.invites.letters import LetterContext, PlaceTold
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.models import CalendarEntry
from reedcrew.trade.plan import Source
from reedcrew.web.times import moment_text
from reedcrew.workdays.models import SignUp, WorkDay

# What a letter warns of, by where the person works; keys of web.cautions.CAUTIONS.
DANGERS = {SignUp.Place.WATER.value: ("water", "blades"), SignUp.Place.LAND.value: ("blades",)}


def service_mailbox(name: str) -> Mailbox:
    """The one mailbox that invites for every group, under a group's name; also the one that reads answers."""
    return Mailbox(address=settings.MAIL_FROM, name=name)


def day_url(day: WorkDay) -> str:
    """The absolute address of the day's public page."""
    return f"{settings.SITE_URL}{day.get_public_url()}"


def event_of(
    sign_up: SignUp, entry: CalendarEntry, *, place: OwnPlace | None = None, comment: str = ""
) -> CalendarEvent:
    """What the person's calendar should hold now. Nobody else is named in it.

    ``place`` is what the person was told of an accepted plan; of it only the own role and what is lent stand here,
    since calendars are shared with family and colleagues.
    """
    day, site = sign_up.day, sign_up.day.stand.site
    zone = ZoneInfo(site.time_zone)
    waits = sign_up.state == SignUp.State.WAITING
    is_firm = sign_up.state not in {SignUp.State.WAITING, SignUp.State.OFFERED}
    return CalendarEvent(
        uid=entry.uid,
        sequence=entry.sequence,
        dtstamp=entry.last_dtstamp,
        start=day.starts_at.astimezone(zone),
        end=day.ends_at.astimezone(zone),
        summary=day.title,
        description="\n\n".join(
            part for part in (day.note, day.what_to_bring, *_place_texts(place), day_url(day)) if part
        ),
        location=f"{site.meeting_place}, {site.name}",
        latitude=float(site.latitude),
        longitude=float(site.longitude),
        url=day_url(day),
        status=Status.CONFIRMED if is_firm else Status.TENTATIVE,
        transparency=Transparency.TRANSPARENT if waits else Transparency.OPAQUE,
        organizer=service_mailbox(entry.organizer_name),
        attendee=Mailbox(address=entry.address, name=sign_up.member.name),
        partstat=PartStat(entry.partstat),
        alarm=is_firm,
        comment=comment,
    )


def draft_of(
    entry: CalendarEntry, event: CalendarEvent, change: Change, *, place: OwnPlace | None = None, reason: str = ""
) -> Draft:
    """What the mail about the change will say. Raises ValueError for a change that nobody is told."""
    letter = CONSEQUENCES[change].letter
    if letter is None:
        raise ValueError(f"{change} is told to nobody")
    context = letter_context(entry.sign_up, place)
    context["asks_answer"] = event.partstat is PartStat.NEEDS_ACTION
    context["reason"] = reason
    if letter is Letter.OFFERED:
        context["answer_url"] = answer_url(Purpose.OFFER, entry.pk)
    if letter is Letter.WITHDRAWN and entry.declined_by_mail:
        context["undo_url"] = answer_url(Purpose.UNDO, entry.pk)
    method, thread = CONSEQUENCES[change].method, entry.first_message_id
    return Draft(letter=letter, method=method, event=event, context=context, thread=thread)


def place_context(place: OwnPlace | None) -> PlaceTold:
    """What a letter tells of a person's own place in an accepted plan: role, unit and what is lent. Else nothing."""
    if place is None or not place.decided:
        return {}
    if not place.stands:
        return {"role": gettext("Your place in the plan changes: the crew lead tells you on the day.")}
    where = f", {place.zone}" if place.zone else ""
    return {
        "role": f"{gettext(place.role) if place.role else gettext('in water')}{where}",
        "partner_names": list(place.partners),
        "gear": [lent_text(each) for each in place.gear if each["from"] == Source.STOCK.value],
    }


def _place_texts(place: OwnPlace | None) -> list[str]:
    told = place_context(place)
    lent = ", ".join(told.get("gear", ()))
    return [
        f"{gettext('Your place:')} {told['role']}" if told.get("role") else "",
        f"{gettext('What we lend you:')} {lent}" if lent else "",
    ]


def lent_text(piece: Record) -> str:
    """One piece of gear in words, with its size where it has one."""
    return " ".join(gettext(part) for part in (piece["item"], piece["size"]) if part)


def letter_context(sign_up: SignUp, place: OwnPlace | None = None) -> LetterContext:
    """What any letter about a sign-up may tell its person, with the place of an accepted plan where one is told."""
    day, site, group = sign_up.day, sign_up.day.stand.site, sign_up.day.group
    zone = ZoneInfo(site.time_zone)
    told = place_context(place)
    return {
        "role": told.get("role", ""),
        "gear": told.get("gear", ()),
        "partner_names": told.get("partner_names", ()),
        "recipient_name": sign_up.member.name,
        "group_name": group.name,
        "title": day.title,
        "start": day.starts_at.astimezone(zone),
        "end": day.ends_at.astimezone(zone),
        "place": f"{site.meeting_place}, {site.name}",
        "day_url": day_url(day),
        "withdraw_url": day_url(day),
        "latitude": float(site.latitude),
        "longitude": float(site.longitude),
        "contact": [group.contact_email],
        "bring": day.what_to_bring.splitlines(),
        "dangers": DANGERS[sign_up.place],
        "waiting": sign_up.state == SignUp.State.WAITING,
        "answer_until": moment_text(sign_up.offer_until, zone) if sign_up.offer_until else "",
    }
