"""How a day stands, as a phone keeps it: what the rows say, in a number of queries that does not grow with them."""

import datetime
from typing import Any

from reedcrew.fieldbook.models import (
    Attendance,
    BriefingHeard,
    DayPhoto,
    HeadCheck,
    Incident,
    Load,
    Submission,
    Tally,
    WaterStint,
)
from reedcrew.workdays.models import SignUp, WorkDay


def day_state(day: WorkDay) -> dict[str, Any]:
    """The state of a day as JSON. Struck entries are left out; of incidents only that they are there."""
    signed = Attendance.objects.standing().filter(day=day).select_related("member")
    stays = [
        {
            "id": str(stay.pk),
            "member": stay.member_id,
            "name": stay.member.name,
            "signed_in_at": _moment(stay.signed_in_at),
            "signed_out_at": _moment(stay.signed_out_at),
            "in_water": stay.in_water,
        }
        for stay in signed
    ]
    water = WaterStint.objects.in_water().filter(day=day)
    heard = BriefingHeard.objects.standing().filter(day=day)
    return {
        "status": day.status,
        "stays": stays,
        "water": [
            {"member": stint.member_id, "zone": stint.zone_id, "unit": stint.unit_number, "since": _moment(stint.in_at)}
            for stint in water
        ],
        "heard": sorted(set(heard.values_list("member", flat=True))),
        "absent": sorted(
            day.sign_ups.confirmed().filter(outcome=SignUp.Outcome.ABSENT).values_list("member", flat=True)
        ),
        "checks": [
            {
                "id": str(check.pk),
                "at": _moment(check.entered_at),
                "seen": check.seen,
                "expected": check.expected,
                "all_out": check.all_out,
            }
            for check in HeadCheck.objects.standing().filter(day=day)
        ],
        "tallies": [
            {
                "id": str(tally.pk),
                "at": _moment(tally.entered_at),
                "zone": tally.zone_id,
                "unit": tally.unit_number,
                "stems": tally.stems,
                "low": tally.stems_low,
                "high": tally.stems_high,
                "bundles": tally.bundles,
            }
            for tally in Tally.objects.standing().filter(day=day)
        ],
        "loads": [
            {
                "id": str(load.pk),
                "at": _moment(load.entered_at),
                "as": load.kind,
                "count": load.count,
                "seed_heads": load.seed_heads,
                "place": load.place,
                "sun_until": load.sun_until.isoformat() if load.sun_until else None,
            }
            for load in Load.objects.standing().filter(day=day)
        ],
        "incidents": [
            {"id": str(incident), "at": _moment(at), "kind": kind}
            for incident, at, kind in Incident.objects.standing()
            .filter(day=day)
            .values_list("pk", "happened_at", "kind")
        ],
        "photos": [
            {"id": str(photo), "kind": kind, "zone": zone}
            for photo, kind, zone in DayPhoto.objects.standing().filter(day=day).values_list("pk", "kind", "zone")
        ],
        "to_look_at": to_look_at(day),
    }


def to_look_at(day: WorkDay) -> int:
    """How many entries of a day somebody should look at."""
    return Submission.objects.filter(day=day, settled_at=None).exclude(outcome=Submission.Outcome.TAKEN).count()


def _moment(moment: datetime.datetime | None) -> str | None:
    return moment.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z") if moment else None
