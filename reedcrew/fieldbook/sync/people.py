"""The people of a day as its entries name them: newcomers entered, places given, absences told."""

import datetime
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.db import transaction

from reedcrew.fieldbook.models import Submission
from reedcrew.fieldbook.services.walk_ups import new_member
from reedcrew.fieldbook.sync.facts import Facts, Remark
from reedcrew.fieldbook.sync.folding import Folded
from reedcrew.fieldbook.sync.sent_rows import data_of
from reedcrew.people.models import Member
from reedcrew.people.policy import policy_of
from reedcrew.stands.queries import depths_today
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.times import clock_text
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.models import SignUp, WorkDay

COMES = frozenset({Submission.Kind.SIGN_IN, Submission.Kind.WALK_UP})


def members_of(data: Mapping[str, Any]) -> list[int]:
    """The keys of all people whom an entry names."""
    single = (data.get("member"), data.get("guardian"))
    return [*data.get("members", ()), *(key for key in single if key is not None)]


def people_named(day: WorkDay, submissions: Iterable[Submission]) -> dict[int, Member]:
    """The members of the group whom entries name, and those with a place; others are left out. One query."""
    named = {key for each in submissions if not each.final for key in members_of(data_of(each))}
    named |= {each.member_id for each in submissions if each.member_id is not None}
    placed = day.sign_ups.confirmed().values("member")
    of_group = Member.objects.filter(group=day.group).with_profile()
    return (of_group.filter(pk__in=named) | of_group.filter(pk__in=placed)).in_bulk()


def facts_of(day: WorkDay, people: Mapping[int, Member], now: datetime.datetime) -> Facts:
    """What the folding needs to know of the people and zones of a day."""
    limit = policy_of(day.group).minor_depth_cm_max
    return Facts(
        names={key: member.name for key, member in people.items()},
        minors={key: each.guardian_id for key, each in people.items() if not each.profile.adult_on(day.date)},
        placed=frozenset(day.sign_ups.confirmed().values_list("member", flat=True)),
        deep_zones=frozenset(each.zone.pk for each in depths_today(day.stand, now) if each.depth_cm > limit),
        clock=lambda moment: clock_text(moment, day.zone_info),
    )


def enter_newcomers(
    day: WorkDay, submissions: Iterable[Submission], people: dict[int, Member]
) -> dict[tuple[Any, str], Remark]:
    """Enter people whom the group does not know yet. Who can't be entered is remarked, and tried again each time."""
    refused: dict[tuple[Any, str], Remark] = {}
    for each in submissions:
        if each.kind != Submission.Kind.WALK_UP or each.member_id is not None:
            continue
        data = data_of(each)
        try:
            with transaction.atomic():
                member = new_member(
                    day=day,
                    name=data["name"],
                    email=data["email"],
                    adult=data["adult"],
                    guardian=people.get(data["guardian"]),
                    born_on=datetime.date.fromisoformat(data["born_on"]) if data["born_on"] else None,
                    consent=data["consent"],
                    emergency_name=data["emergency_name"],
                    emergency_phone=data["emergency_phone"],
                    actor=each.author,
                    now=each.at,
                )
        except ReedcrewError as error:
            values = {name: str(value) for name, value in error.values.items()}
            refused[each.entry_id, each.digest] = Remark(code=error.code, refused=True, values=values)
        else:
            each.member = people[member.pk] = Member.objects.with_profile().get(pk=member.pk)
    return refused


def give_places(day: WorkDay, submissions: Collection[Submission], people: Mapping[int, Member]) -> None:
    """Give a place on land to members who were signed in without one, where there is one. Else the fold remarks it."""
    struck = {data_of(each)["entry"] for each in submissions if each.kind == Submission.Kind.STRIKE}
    came = {
        each.member_id: each
        for each in submissions
        if each.kind in COMES and each.member_id and str(each.entry_id) not in struck
    }
    placed = set(day.sign_ups.confirmed().values_list("member", flat=True))
    for key, each in came.items():
        if key is None or key in placed:
            continue
        try:
            with transaction.atomic():
                signed_up = workdays.sign_up(
                    day=day, member=people[key], place=SignUp.Place.LAND, actor=each.author, now=each.at
                ).sign_up
                waiting_list.give_place(sign_up=signed_up, actor=each.author, now=each.at)
        except ReedcrewError:
            continue  # they stand there all the same: the fold remarks that they have no place


def write_absences(day: WorkDay, folded: Folded, submissions: Iterable[Submission]) -> None:
    """Tell the plan who did not come, and who came after all."""
    authors = {each.entry_id: each.author for each in submissions}
    came = {stay.member: stay.said for stay in folded.stays if stay.said.entry_id not in folded.strikes}
    sign_ups = day.sign_ups.confirmed().filter(member__in=[*folded.absent, *came])
    for sign_up in sign_ups:
        gone = sign_up.outcome == SignUp.Outcome.ABSENT
        said = came.get(sign_up.member_id) if gone else folded.absent.get(sign_up.member_id)
        author = authors.get(said.entry_id) if said else None
        if said is None or author is None:
            continue
        mark = workdays.mark_present if gone else workdays.mark_absent
        try:
            with transaction.atomic():
                mark(sign_up=sign_up, actor=author, now=said.at)
        except ReedcrewError:
            continue  # the day is over: closing it says the same
