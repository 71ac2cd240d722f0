"""Whether a day is ready: one line a subject, each with what is missing, who can mend it, and where.

Apps downstream register lines of their own. A state is always said in words.
"""

import datetime
from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.differences import differences
from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Assignment, Plan, PlanDue
from reedcrew.crews.rebuilt import trade_plan
from reedcrew.crews.standing import fallen_of
from reedcrew.people.queries import with_emergency_contact
from reedcrew.people.water import missing_for_water
from reedcrew.stands.models import Site
from reedcrew.trade.day import Day
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.roles import spotters_for
from reedcrew.trade.plan import Role
from reedcrew.trade.policy import Policy
from reedcrew.trade.season import SeasonState
from reedcrew.web.sentences import said_together, terms
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.queries import season_of


class State(models.TextChoices):
    """How a line stands."""

    READY = "ready", _("ready")
    LOOK = "look", _("look again")
    MISSING = "missing", _("missing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One subject of a day: how it stands, in words; who can mend it, and the page to do it on ("" for none)."""

    code: str
    label: str
    state: State
    words: str
    who: str = ""
    url: str = ""
    link: str = ""

    @property
    def tone(self) -> str:
        """The badge's tone."""
        return {State.READY: "done", State.LOOK: "caution", State.MISSING: "stop"}[self.state]


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """The lines of a day in order."""

    day: WorkDay
    lines: Sequence[Line]

    @property
    def open_lines(self) -> list[Line]:
        """What is not ready."""
        return [line for line in self.lines if line.state != State.READY]

    @property
    def ready_lines(self) -> list[Line]:
        """What nobody has to look at."""
        return [line for line in self.lines if line.state == State.READY]

    @property
    def in_words(self) -> str:
        """How many lines stand how."""
        count = {state: sum(line.state == state for line in self.lines) for state in State}
        return gettext("%(ready)d ready, %(look)d to look at again, %(missing)d missing") % {
            "ready": count[State.READY],
            "look": count[State.LOOK],
            "missing": count[State.MISSING],
        }


Source = Callable[[WorkDay, datetime.datetime], Iterable[Line]]

_sources: dict[Source, int] = {}


def register(source: Source, *, order: int) -> None:
    """Ask ``source`` for further lines of each day, smallest order first. Called from AppConfig.ready."""
    _sources[source] = order


def readiness(day: WorkDay, now: datetime.datetime) -> Readiness:
    """The lines of a day, as of now. The number of queries does not grow with the roster."""
    ordered = sorted(_sources, key=lambda source: (_sources[source], source.__module__, source.__qualname__))
    return Readiness(day=day, lines=[line for source in ordered for line in source(day, now)])


def spotters_of(plan: Iterable[Assignment], adults: Container[int], policy: Policy) -> tuple[int, int, int]:
    """How many units a plan has in water, how many spotters they need (H10), and how many of these are missing.

    ``adults`` are the keys of the adult members who are expected; assignments come with their sign-ups.
    """
    units: dict[int, set[int]] = {}
    watching: Counter[int] = Counter()
    for each in plan:
        if each.kind == Assignment.Kind.UNIT:
            units.setdefault(each.zone_id or 0, set()).add(each.unit_number or 0)
        elif each.role == Role.SPOTTER and each.sign_up.member_id in adults:
            watching[each.zone_id or 0] += 1
    needed = {zone: spotters_for(len(found), policy) for zone, found in units.items()}
    short = sum(max(0, count - watching[zone]) for zone, count in needed.items())
    return sum(map(len, units.values())), sum(needed.values()), short


def lines_of_plan(day: WorkDay, now: datetime.datetime) -> Iterator[Line]:
    """The plan's own lines, and those of what it rests on."""
    question = day_input(day, now)
    plans = list(day.plans.filter(models.Q(told=True) | models.Q(current=True)))
    told = next((plan for plan in plans if plan.told), None)
    current = next((plan for plan in plans if plan.current), None)
    yield _first_aider(day, question)
    yield _spotters(day, question, told or current)
    yield _gear(day, told or current)
    yield _answers(day)
    yield _accepted(day, question, told, current)


def lines_of_day(day: WorkDay, now: datetime.datetime) -> Iterator[Line]:
    """Weather, weeks, plant, and what to do when something happens."""
    yield _weather(day)
    yield _window(day)
    yield _identification(day)
    yield _emergency(day)
    yield _contacts(day)


# --- Private: people and plan ----------------------------------------------------------------------------------------


def _page(name: str, day: WorkDay) -> str:
    return reverse(name, args=[day.group.slug, day.pk])


def _first_aider(day: WorkDay, question: Day) -> Line:
    helpers = len(eligibility.first_aiders(question))
    if helpers:
        words = ngettext(
            "%(count)d adult first-aider has a place.", "%(count)d adult first-aiders have a place.", helpers
        )
        return Line(
            code="first_aider", label=gettext("First-aider"), state=State.READY, words=words % {"count": helpers}
        )
    return Line(
        code="first_aider",
        label=gettext("First-aider"),
        state=State.MISSING,
        words=gettext("No adult with a valid first-aid certificate has a place, so nobody may work in water."),
        who=gettext("An organizer: ask somebody who has one. The person: enter the certificate in the profile."),
        url=_page("workdays:roster", day),
        link=gettext("Open the roster"),
    )


def _spotters(day: WorkDay, question: Day, plan: Plan | None) -> Line:
    label, url, link = gettext("Spotters"), _page("crews:plan", day), gettext("Open the plan")
    who = gettext("An organizer or crew lead: plan anew, or ask more adults to come.")
    if plan is None:
        words = gettext("No plan says yet who watches from the shore.")
        return Line(code="spotters", label=label, state=State.MISSING, words=words, who=who, url=url, link=link)
    adults = {int(person.id) for person in question.volunteers if person.adult}
    units, needed, short = spotters_of(plan.assignments.select_related("sign_up"), adults, question.policy)
    if not units:
        words = gettext("No unit is planned into water, so nobody has to watch.")
        return Line(code="spotters", label=label, state=State.LOOK, words=words, who=who, url=url, link=link)
    if short:
        words = ngettext(
            "%(count)d person who watches from the shore is missing.",
            "%(count)d people who watch from the shore are missing.",
            short,
        ) % {"count": short}
        return Line(code="spotters", label=label, state=State.MISSING, words=words, who=who, url=url, link=link)
    words = ngettext("%(count)d person watches from the shore.", "%(count)d people watch from the shore.", needed)
    words = words % {"count": needed}
    return Line(code="spotters", label=label, state=State.READY, words=words)


def _gear(day: WorkDay, plan: Plan | None) -> Line:
    label = gettext("Gear")
    if plan is None:
        return Line(
            code="gear",
            label=label,
            state=State.MISSING,
            words=gettext("No plan says yet what is needed."),
            who=gettext("An organizer or crew lead: plan the day."),
            url=_page("crews:plan", day),
            link=gettext("Open the plan"),
        )
    short = [line for line in plan.answer["gear"] if line["short"]]
    if not short:
        words = gettext("Everything on the gear list is there.")
        return Line(code="gear", label=label, state=State.READY, words=words)
    names = ", ".join(terms(line["item"], line["size"]) for line in short)
    return Line(
        code="gear",
        label=label,
        state=State.MISSING,
        words=gettext("Short of: %(names)s.") % {"names": names},
        who=gettext("Who keeps the stock: borrow, buy, or clean and dry what is not ready."),
        url=_page("crews:gear_list", day),
        link=gettext("Open the gear list"),
    )


def _answers(day: WorkDay) -> Line:
    label = gettext("Answers for the water")
    asked = day.sign_ups.expected().for_roster().filter(place=SignUp.Place.WATER)
    names = [each.member.name for each in asked if missing_for_water(each.member.profile, day.date)]
    if not names:
        words = gettext("Everybody who signed up for the water has answered what it asks for.")
        return Line(code="answers", label=label, state=State.READY, words=words)
    return Line(
        code="answers",
        label=label,
        state=State.LOOK,
        words=gettext("These stay on shore until they have answered: %(names)s.") % {"names": ", ".join(sorted(names))},
        who=gettext("The people themselves, in their profile."),
        url=_page("workdays:roster", day),
        link=gettext("Open the roster"),
    )


def _accepted(day: WorkDay, question: Day, told: Plan | None, current: Plan | None) -> Line:
    state, words = State.READY, gettext("The plan is accepted, and people read their own place in it.")
    if told is not None and fallen_of(told, question):
        state, words = State.MISSING, gettext("What people were told does not stand any more.")
    elif told is not None and current is not None and told != current:
        if differences(trade_plan(told), trade_plan(current)):
            state, words = State.LOOK, gettext("A newer plan differs from what people were told.")
    elif told is None and current is not None:
        state, words = State.MISSING, gettext("The plan is proposed and not accepted: nobody was told anything yet.")
    elif told is None:
        state, words = State.MISSING, gettext("There is no plan yet.")
    if state == State.READY and PlanDue.objects.filter(day=day).exists():
        state, words = State.LOOK, gettext("Something changed since the plan was made: a new one is on its way.")
    if state == State.READY:
        return Line(code="plan", label=gettext("Plan"), state=state, words=words)
    return Line(
        code="plan",
        label=gettext("Plan"),
        state=state,
        words=words,
        who=gettext("An organizer or crew lead: look at the plan and accept it."),
        url=_page("crews:plan", day),
        link=gettext("Open the plan"),
    )


# --- Private: the day ------------------------------------------------------------------------------------------------


def _weather(day: WorkDay) -> Line:
    label = gettext("Weather")
    values = {
        gettext("air"): day.forecast_temp_c,
        gettext("humidity"): day.forecast_rh_percent,
        gettext("wind"): day.forecast_wind_km_h,
        gettext("water"): day.forecast_water_temp_c,
    }
    unknown = [name for name, value in values.items() if value is None]
    if not unknown:
        return Line(code="weather", label=label, state=State.READY, words=gettext("The forecast is entered."))
    words = (
        gettext("No forecast is entered, so heat, cold and drinking water are not judged.")
        if len(unknown) == len(values)
        else gettext("The forecast does not tell: %(names)s.") % {"names": ", ".join(unknown)}
    )
    return Line(
        code="weather",
        label=label,
        state=State.MISSING if len(unknown) == len(values) else State.LOOK,
        words=words,
        who=gettext("An organizer or crew lead: copy it from any forecast."),
        url=_page("crews:weather", day),
        link=gettext("Open the weather"),
    )


def _window(day: WorkDay) -> Line:
    label = gettext("Permitted weeks")
    season = season_of(day)
    words = said_together(season.reasons)
    if season.state is SeasonState.OPEN and not season.water_closed:
        return Line(code="window", label=label, state=State.READY, words=words)
    closed = season.state is SeasonState.CLOSED or season.water_closed
    return Line(
        code="window",
        label=label,
        state=State.MISSING if closed else State.LOOK,
        words=words,
        who=gettext("An organizer: move the day, or ask whoever decides about the site."),
        url=_page("workdays:edit_day", day),
        link=gettext("Edit the day"),
    )


def _identification(day: WorkDay) -> Line:
    label, stand = gettext("Identification"), day.stand
    if stand.may_be_cut:
        words = gettext("%(stand)s is confirmed as the introduced subspecies.") % {"stand": stand.name}
        return Line(code="identification", label=label, state=State.READY, words=words)
    return Line(
        code="identification",
        label=label,
        state=State.MISSING,
        words=gettext("%(stand)s is not confirmed as the introduced subspecies: do not cut it.")
        % {"stand": stand.name},
        who=gettext("An organizer: have the plant checked, or cancel the day."),
        url=stand.get_absolute_url(),
        link=gettext("Open the stand"),
    )


def _emergency(day: WorkDay) -> Line:
    label, site = gettext("Emergency plan"), day.stand.site
    missing = []
    if not site.emergency_entrance:
        missing.append(gettext("No entrance for an ambulance is named."))
    if site.phone_signal == Site.PhoneSignal.NONE:
        missing.append(gettext("There is no phone signal: agree who goes where to call help."))
    elif site.phone_signal == Site.PhoneSignal.PATCHY:
        missing.append(gettext("The phone signal is patchy: find out before the start where a call goes through."))
    if not missing:
        words = gettext("Ambulance entrance: %(entrance)s. The phone signal is good.")
        words = words % {"entrance": site.emergency_entrance}
        return Line(code="emergency", label=label, state=State.READY, words=words)
    return Line(
        code="emergency",
        label=label,
        state=State.LOOK if site.emergency_entrance else State.MISSING,
        words=" ".join(missing),
        who=gettext("An organizer before the day, the crew lead on site."),
        url=site.get_absolute_url(),
        link=gettext("Open the site"),
    )


def _contacts(day: WorkDay) -> Line:
    label = gettext("Emergency contacts")
    here = dict(day.sign_ups.expected().values_list("member", "member__name"))
    called = with_emergency_contact(here)
    names = sorted(name for member, name in here.items() if member not in called)
    if not names:
        words = gettext("Everybody has named somebody to call.")
        return Line(code="contacts", label=label, state=State.READY, words=words)
    return Line(
        code="contacts",
        label=label,
        state=State.MISSING,
        words=gettext("Nobody to call is known for: %(names)s.") % {"names": ", ".join(names)},
        who=gettext("The people themselves, or an organizer who asks them."),
        url=_page("workdays:roster", day),
        link=gettext("Open the roster"),
    )
