"""A certificate of a volunteer's hours on paper."""

import datetime
from pathlib import Path

from django.utils.translation import get_language, gettext, ngettext, pgettext

from reedcrew.crews.paper.typeset import Sheet, typeset
from reedcrew.grants.queries.certificates import Certificate
from reedcrew.web.times import day_text, duration_text, moment_text

TEMPLATE = Path(__file__).with_name("certificate.typ")


def certificate_pdf(found: Certificate, *, at: datetime.datetime, sheet: Sheet = Sheet.A4) -> bytes:
    """The paper; the same certificate and moment give the same bytes."""
    group = found.member.group
    says = ngettext(
        "%(name)s worked as a volunteer of %(group)s for %(time)s on %(days)d day.",
        "%(name)s worked as a volunteer of %(group)s for %(time)s on %(days)d days.",
        found.days,
    )
    time = duration_text(found.minutes)
    document = {
        "language": (get_language() or "en")[:2],
        "group": group.name,
        "title": gettext("Volunteer hours"),
        "says": says % {"name": found.member.name, "group": group.name, "time": time, "days": found.days},
        "period": period_text(found),
        "about": gettext("The work is the cutting of invasive common reed by hand, with what belongs to it."),
        "head": [gettext("Day"), gettext("Where"), gettext("What"), pgettext("how long", "Time"), gettext("Approved")],
        "rows": [
            [
                *(day_text(line.date), line.place, line.activity, duration_text(line.minutes)),
                gettext("yes") if line.approved else gettext("not yet"),
            ]
            for line in found.lines
        ],
        "foot": [gettext("All"), "", "", time, duration_text(found.approved_minutes)],
        "how": gettext(
            "Times are from sign-in to sign-out in whole minutes, as the group's ledger has them. “Approved” are days "
            "that a coordinator has looked through."
        ),
        "ask": gettext("Questions: %(address)s. Code of the person: %(code)s.")
        % {"address": group.contact_email, "code": found.member.code},
        "made": gettext("Made %(when)s") % {"when": moment_text(at, "UTC")},
        "signature": gettext("For the group: name, date, signature"),
    }
    return typeset(document, sheet=sheet, at=at, template=TEMPLATE)


def period_text(found: Certificate) -> str:
    """The days of the certificate in words."""
    first = found.first or (found.lines[0].date if found.lines else None)
    last = found.last or (found.lines[-1].date if found.lines else None)
    return "" if first is None or last is None else f"{day_text(first)} – {day_text(last)}"
