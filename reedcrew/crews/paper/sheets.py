"""What stands on the paper of a day, as plain data for crews.paper.typeset."""

import datetime
from collections.abc import Iterable
from typing import Any

from django.utils.formats import number_format
from django.utils.translation import get_language, gettext

from reedcrew.crews.inputs import weather_of
from reedcrew.crews.paper.contents import words
from reedcrew.crews.paper.words import drawn
from reedcrew.crews.queries import PersonLine, PlanSheet, UnitLine, plan_sheet
from reedcrew.crews.weather.queries import daylight_of
from reedcrew.people.policy import policy_of
from reedcrew.people.services import LookedAt
from reedcrew.stands.queries import ZoneDepth, depths_today, notices_at
from reedcrew.stock.queries import cleaning_solutions, standing_bookings
from reedcrew.stock.queries.care import BUCKET_L
from reedcrew.trade.cleaning import GEAR_MG_L
from reedcrew.trade.day import Zone
from reedcrew.trade.items import Item
from reedcrew.trade.method import method_for
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.plan import Source
from reedcrew.trade.reasons import Reason
from reedcrew.trade.weather import cautions
from reedcrew.web import amounts, sentences
from reedcrew.web.cautions import CAUTIONS
from reedcrew.web.sentences import terms
from reedcrew.web.times import clock_text, in_zone, moment_text, span_text
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.queries import season_of

Document = dict[str, Any]

READ_ALOUD = ("water", "blades", "heat", "cold", "minors")
WALK_UP_LINES = 10
COUNT_EACH_MIN = (30, 60, 120)  # minutes between head counts; the first that fits the page (convention)
COUNTS_A_PAGE = 9


@amounts.shown(with_customary=False)  # one sheet for the whole crew
def clipboard(day: WorkDay, now: datetime.datetime, *, records: LookedAt | None = None) -> Document:
    """Everything on the paper of a day. ``records`` are the emergency contacts that its maker may read, else None.

    The number of queries does not grow with the roster.
    """
    return _Paper(day, now, records).document()


def count_times(day: WorkDay) -> list[str]:
    """The times of head counts, on the site's clock, so many as fit on a page."""
    start, end = (in_zone(moment, day.zone_info) for moment in (day.starts_at, day.ends_at))
    for minutes in COUNT_EACH_MIN:
        step = datetime.timedelta(minutes=minutes)
        # Counted in UTC: clocks may change during a day.
        moments = [day.starts_at + number * step for number in range(1, int((end - start) / step) + 1)]
        if len(moments) <= COUNTS_A_PAGE:
            break
    return [f"{in_zone(moment, day.zone_info):%H:%M}" for moment in moments[:COUNTS_A_PAGE]]


# --- Private ---------------------------------------------------------------------------------------------------------


def _says(reasons: Iterable[Reason]) -> list[str]:
    return [sentences.said(reason) for reason in reasons]


class _Paper:
    """Reads the rows of a day once and turns them into text."""

    def __init__(self, day: WorkDay, now: datetime.datetime, records: LookedAt | None) -> None:
        self._day, self._now = day, now
        self._site = day.stand.site
        self._records = records
        self._sign_ups = list(day.sign_ups.confirmed().for_roster().order_by("member__name", "member_id"))
        self._sheet: PlanSheet = plan_sheet(day)
        self._policy = policy_of(day.group)
        worked = set(day.zones.values_list("pk", flat=True))
        self._depths = [known for known in depths_today(day.stand, now) if known.zone.pk in worked]
        self._names = {
            sign_up.member_id: self._name(number, sign_up.member.name)
            for number, sign_up in enumerate(self._sign_ups, 1)
        }

    def document(self) -> Document:
        day = self._day
        return {
            "words": words(),
            "language": (get_language() or "en")[:2],
            "group": day.group.name,
            "title": day.title,
            "site": f"{self._site.name}, {day.stand.name}",
            "when": span_text(day.starts_at, day.ends_at, day.zone_info),
            "printed": gettext("Printed %(when)s") % {"when": moment_text(self._now, day.zone_info)},
            "site_sheet": self._site_sheet(),
            "cautions": [
                {
                    "title": str(caution.title),
                    "advice": [str(line) for line in caution.advice],
                    "defer": str(caution.defer),
                }
                for caution in (CAUTIONS[name] for name in READ_ALOUD)
            ],
            **self._roster(),
            **self._plan(),
            "gear": self._gear(),
            "head_count": {"times": count_times(day), "rows": [self._unit_text(unit) for unit in self._units()]},
            "tally": self._tally(),
            "sign_in": [
                {"number": str(number), "name": self._names[sign_up.member_id]}
                for number, sign_up in enumerate(self._sign_ups, 1)
            ],
            "walk_up_lines": WALK_UP_LINES,
            "cleaning": self._cleaning(),
        }

    @staticmethod
    def _name(number: int, name: str) -> str:
        if drawn(name):
            return name
        # Boxes instead of letters would help nobody: a line to write on does.
        return gettext("No. %(number)d: write the name by hand ________") % {"number": number}

    # --- Site --------------------------------------------------------------------------------------------------------
    def _site_sheet(self) -> Document:
        site, day = self._site, self._day
        facts = (
            (gettext("Meeting place"), site.meeting_place),
            (gettext("Position"), f"{site.coordinates} ({gettext('latitude, longitude')})"),
            (gettext("Way in"), site.access),
            (gettext("Parking"), site.parking),
            (gettext("Phone signal"), str(site.get_phone_signal_display())),
            (gettext("Daylight"), self._daylight()),
            (gettext("Hazards of the site"), site.hazards),
            (gettext("Contact of the group"), day.group.contact_email),
        )
        parts = (
            (gettext("Weather"), self._weather()),
            (gettext("Permitted weeks and notices"), self._season()),
            (gettext("What people were told"), [text for text in (day.note, day.what_to_bring) if text]),
        )
        return {
            "entrance": site.emergency_entrance,
            "facts": [{"label": label, "text": text or gettext("not known")} for label, text in facts],
            "zones": [
                {
                    "zone": known.zone.name,
                    "depth": f"{known.depth_cm} cm",
                    "current": f"{number_format(known.zone.current_m_s.normalize())} m/s",
                    "how": self._how(known),
                }
                for known in self._depths
            ],
            "parts": [{"title": title, "lines": lines} for title, lines in parts if lines],
        }

    def _how(self, known: ZoneDepth) -> str:
        if closed := self._closure(known):
            return f"{gettext('Closed: nobody enters.')} {' '.join(closed)} {sentences.said(known.reason)}"
        return f"{sentences.said(method_for(known.depth_cm).reason)} {sentences.said(known.reason)}"

    def _closure(self, known: ZoneDepth) -> list[str]:
        """Why nobody enters a zone today, also before there is a plan."""
        zone = Zone(
            name=known.zone.name,
            depth_cm=known.depth_cm,
            current_m_s=float(known.zone.current_m_s),
            units_max=known.zone.units_max,
        )
        return _says(closure(zone, self._policy))

    def _daylight(self) -> str:
        light = daylight_of(self._day)
        times = [
            f"{label} {clock_text(moment, self._day.zone_info)}"
            for label, moment in ((gettext("sunrise"), light.sun.sunrise), (gettext("sunset"), light.sun.sunset))
            if moment is not None
        ]
        return "\n".join((*([", ".join(times)] if times else []), *_says(light.verdict.reasons)))

    def _weather(self) -> list[str]:
        told = weather_of(self._day)
        if told is None:
            return _says(cautions(None))
        readings = (
            (gettext("air"), told.temp_c, "°C"),
            (gettext("humidity"), told.rh_percent, "%"),
            (gettext("wind"), told.wind_km_h, "km/h"),
            (gettext("water"), told.water_temp_c, "°C"),
        )
        known = [
            f"{label} {number_format(f'{value:g}')} {unit}" for label, value, unit in readings if value is not None
        ]
        return [gettext("Forecast: %(readings)s") % {"readings": ", ".join(known)}, *_says(cautions(told))]

    def _season(self) -> list[str]:
        day = self._day
        lines = _says(season_of(day).reasons)
        if day.window_reason:
            lines.append(gettext("Why the day is outside the weeks: %(reason)s") % {"reason": day.window_reason})
        if day.window_permit:
            lines.append(gettext("Permit: %(permit)s") % {"permit": day.window_permit})
        for notice in notices_at(self._site, day.date).in_force:
            dates = gettext("%(first)s to %(last)s") % {"first": notice.opens_text, "last": notice.closes_text}
            named = ", ".join(filter(None, (notice.issuer, notice.reference)))
            stops = notice.force == notice.Force.STOP
            asks = notice.get_effect_display() if stops else notice.get_force_display()
            about = f"{notice.get_kind_display()}; {asks}; {notice.get_scope_display()}"
            lines.append(" ".join(filter(None, (f"{named}: {about}; {dates}.", notice.note))))
        return lines

    # --- Roster ------------------------------------------------------------------------------------------------------
    def _roster(self) -> Document:
        contacts = {each.member_id: (each.emergency_name, each.emergency_phone) for each in self._records or ()}
        said = (
            gettext(
                "With emergency contacts, for this day only. Keep this page out of sight, give it to nobody, and "
                "destroy it after the day. In an emergency call the local emergency number first."
            )
            if self._records is not None
            else gettext(
                "Without emergency contacts. Organizers and crew leads may print them from the day before to the day "
                "after; each look is recorded."
            )
        )
        return {
            "with_contacts": self._records is not None,
            "contacts_said": said,
            "roster": [
                {
                    "number": str(number),
                    "name": self._names[sign_up.member_id],
                    "notes": ", ".join(self._notes(sign_up)),
                    "call": _call(*contacts.get(sign_up.member_id, ("", ""))),
                    "phone": contacts.get(sign_up.member_id, ("", ""))[1],
                }
                for number, sign_up in enumerate(self._sign_ups, 1)
            ],
        }

    def _notes(self, sign_up: SignUp) -> list[str]:
        member, date = sign_up.member, self._day.date
        found = [str(sign_up.get_place_display())]
        if not member.profile.adult_on(date):
            name = member.guardian.name if member.guardian else gettext("not known")
            found.append(gettext("under 18, guardian: %(name)s") % {"name": name})
        if member.profile.first_aider_on(date):
            found.append(gettext("first-aider"))
        if member.trained_lead:
            found.append(gettext("trained lead"))
        if sign_up.outcome == SignUp.Outcome.ABSENT:
            found.append(str(sign_up.get_outcome_display()))
        return found

    # --- Plan --------------------------------------------------------------------------------------------------------
    def _plan(self) -> Document:
        sheet = self._sheet
        parts = (
            (gettext("Not placed"), [self._of(person) for person in sheet.not_placed]),
            (
                gettext("Closed zones: nobody enters"),
                [f"{zone.zone}: {' '.join(_says(zone.reasons))}" for zone in sheet.closed_zones],
            ),
            (gettext("Warnings"), _says(sheet.warnings)),
        )
        return {
            "plan_said": self._plan_said(),
            "zones": [
                {
                    "title": gettext("%(zone)s, %(depth)d cm deep") % {"zone": zone.zone, "depth": zone.depth_cm},
                    "method": sentences.said(zone.method),
                    "units": [
                        {
                            "number": str(unit.number),
                            "people": "\n".join(self._of(person) for person in unit.people),
                            "remarks": "\n".join(self._remarks(unit)),
                        }
                        for unit in zone.units
                    ],
                }
                for zone in sheet.zones
            ],
            "shore": [
                {"role": person.role, "name": self._of(person), "zone": person.zone or "–"} for person in sheet.shore
            ],
            "plan_parts": [{"title": title, "lines": lines} for title, lines in parts if lines],
        }

    def _plan_said(self) -> str:
        plan = self._sheet.plan
        if plan is None:
            return gettext("There is no plan of the day yet: nobody enters the water by this paper.")
        if plan.accepted_at is None:
            said = gettext("Proposed and not accepted: nobody was told this plan.")
        else:
            when = moment_text(plan.accepted_at, self._day.zone_info)
            said = gettext("Accepted %(when)s. The crew lead decides on the day.") % {"when": when}
        if self._sheet.due_since:
            said += " " + gettext("Something changed since it was made: look for a newer one before the start.")
        return said

    def _remarks(self, unit: UnitLine) -> list[str]:
        missing = [
            gettext("%(name)s: no %(piece)s yet")
            % {"name": self._of(person), "piece": terms(line["item"], line["size"])}
            for person in unit.people
            for line in person.missing
        ]
        fallen = [f"{gettext('Stands no longer:')} {sentence}" for sentence in _says(unit.fallen)]
        return [*fallen, *missing]

    def _of(self, person: PersonLine) -> str:
        return self._names.get(person.member, person.name)

    def _units(self) -> list[tuple[str, UnitLine]]:
        return [(zone.zone, unit) for zone in self._sheet.zones for unit in zone.units]

    def _unit_text(self, found: tuple[str, UnitLine]) -> str:
        zone, unit = found
        people = ", ".join(self._of(person) for person in unit.people)
        return f"{unit.number} · {zone}\n{people}"

    # --- Gear, tally, cleaning ---------------------------------------------------------------------------------------
    def _gear(self) -> list[dict[str, str]]:
        labels: dict[tuple[int, str, str], list[int]] = {}
        bookings = standing_bookings(self._day.group, self._day.pk).select_related("gear_set__line")
        for booking in bookings.order_by("gear_set__number"):
            line = booking.gear_set.line
            labels.setdefault((booking.member_id, line.item, line.size), []).append(booking.gear_set.number)
        lent: dict[int, list[str]] = {}
        for person in self._everybody():
            for piece in person.gear:
                if piece["from"] == Source.STOCK:
                    numbers = labels.get((person.member, piece["item"], piece["size"]), [])
                    label = f" {gettext('no.')} {numbers.pop(0)}" if numbers else ""
                    lent.setdefault(person.member, []).append(f"□ {terms(piece['item'], piece['size'])}{label}")
        return [
            {
                "name": self._names[sign_up.member_id],
                # A piece stays on one line with its box.
                "pieces": "   ".join(
                    piece.replace(" ", "\N{NO-BREAK SPACE}") for piece in lent.get(sign_up.member_id, [])
                )
                or gettext("nothing planned"),
            }
            for sign_up in self._sign_ups
        ]

    def _everybody(self) -> list[PersonLine]:
        in_water = [person for _zone, unit in self._units() for person in unit.people]
        return [*in_water, *self._sheet.shore, *self._sheet.not_placed]

    def _tally(self) -> list[dict[str, str]]:
        rows = [
            {"zone": zone, "unit": f"{unit.number}\n" + ", ".join(self._of(person) for person in unit.people)}
            for zone, unit in self._units()
        ]
        planned = {row["zone"] for row in rows}
        others = [known.zone.name for known in self._depths if not self._closure(known)]
        return rows + [{"zone": name, "unit": ""} for name in others if name not in planned]

    def _cleaning(self) -> Document:
        solutions = cleaning_solutions()
        litres = sum(line.needed for line in self._sheet.gear if line.item == Item.CLEANING_WATER)
        said = gettext("For a bucket of %(bucket)s L at %(target)s mg/L. Read the strength on the label first.") % {
            "bucket": number_format(f"{BUCKET_L:g}"),
            "target": GEAR_MG_L,
        }
        if litres:
            asked = gettext("The gear list asks for %(litres)s L for the whole crew.")
            said += " " + asked % {"litres": number_format(f"{litres:g}")}
        return {
            "said": said,
            "rows": [
                [
                    f"{number_format(f'{percent:g}')} %",
                    f"{number_format(round(solution.bleach_ml, 1), 1)} mL",
                    f"{number_format(round(solution.water_l, 2), 2)} L",
                ]
                for percent, solution in solutions
            ],
            "cautions": [*_says(solutions[0][1].cautions), str(CAUTIONS["bleach"].defer)],
        }


def _call(name: str, phone: str) -> str:
    return name if phone else gettext("nobody named")
