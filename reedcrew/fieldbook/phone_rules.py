"""What a phone must know to hold units of the moment to the hard rules without a network, and no measure of anybody."""

import datetime
from collections.abc import Mapping
from dataclasses import asdict, dataclass

from reedcrew.crews.inputs import day_input
from reedcrew.trade.pairing.eligibility import is_experienced
from reedcrew.trade.unit_rules import unit_refusals
from reedcrew.web.sentences import said_together
from reedcrew.workdays.models import WorkDay

# Of a whole unit: the phone judges these by itself, from who goes in together.
OF_THE_UNIT = frozenset({"H1.unit", "H2.unit", "H3.unit_guardian", "H11.unit"})


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterFacts:
    """One person: whether they count as experienced (H2), what they speak (H11), and why a zone is not for them.

    ``stays_out`` has the sentences by the zone's key; a zone that it does not name is open to the person.
    """

    experienced: bool
    languages: list[str]
    stays_out: dict[str, str]


def water_facts(day: WorkDay, now: datetime.datetime) -> Mapping[int, dict[str, object]]:
    """By member. Somebody who is not in it stays on land. The number of queries does not grow with the roster."""
    known = day_input(day, now)
    facts = {}
    names = dict(day.sign_ups.expected().values_list("member_id", "member__name"))
    for person in known.volunteers:
        name = names[int(person.id)]
        stays_out = {}
        for zone in known.zones:
            refusals = unit_refusals(known, zone.name, [person.id], {person.id: name})
            own = [each for each in refusals if each.code not in OF_THE_UNIT]
            if own:
                stays_out[zone.name] = said_together(own)
        facts[int(person.id)] = asdict(
            WaterFacts(
                experienced=is_experienced(person, known.policy),
                languages=sorted(person.languages),
                stays_out=stays_out,
            )
        )
    return facts
