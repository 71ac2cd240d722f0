"""The state of a day from entries in any order: nobody is forgotten, and no phone undoes another."""

import datetime
import uuid
from dataclasses import replace
from random import Random
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reedcrew.fieldbook.sync.contract import read_entry
from reedcrew.fieldbook.sync.facts import Facts, Said
from reedcrew.fieldbook.sync.folding import Folded, fold
from tests.factories import START
from tests.fieldbook.sync.crowds import entries_of_phones

ADA, BEN, CHILD = 1, 2, 3
NAMES = {ADA: "Ada", BEN: "Ben", CHILD: "Cleo"}
FACTS = Facts(
    names=NAMES,
    minors={CHILD: ADA},
    placed=frozenset(NAMES),
    deep_zones=frozenset({9}),
    clock=lambda moment: f"{moment:%H:%M}",
)
MINUTE = datetime.timedelta(minutes=1)


def said(kind: str, minutes: float, phone: int = 1, /, **data: Any) -> Said:
    entry_id = uuid.uuid4()
    return Said(
        entry_id=entry_id,
        digest=str(entry_id),
        kind=kind,
        at=START + minutes * MINUTE,
        data={name: str(value) if isinstance(value, uuid.UUID) else value for name, value in data.items()},
        phone=phone,
        author=phone,
    )


def came(member: int, minutes: float, phone: int = 1, /) -> Said:
    return said("sign_in", minutes, phone, member=member, in_water=False)


def left(sign_in: Said, minutes: float, phone: int = 1, /) -> Said:
    return said("sign_out", minutes, phone, stay=sign_in.entry_id)


def minutes_in(at: datetime.datetime | None) -> int | None:
    return None if at is None else round((at - START) / MINUTE)


def stays(folded: Folded) -> list[tuple[int, int, int | None]]:
    """Member, and minutes of coming and leaving, of the stays that count."""
    return [
        (stay.member, minutes_in(stay.in_at) or 0, minutes_in(stay.out_at))
        for stay in folded.stays
        if stay.merged is None and stay.said.entry_id not in folded.strikes
    ]


def in_water(folded: Folded) -> set[int]:
    return {
        stint.member
        for stint in folded.stints
        if stint.out_at is None and stint.merged is None and stint.said.entry_id not in folded.strikes
    }


def codes(folded: Folded, *entries: Said) -> list[str]:
    return [remark.code if (remark := folded.remarks.get(each.key)) else "" for each in entries]


# --- Coming and leaving ----------------------------------------------------------------------------------------------


def test_of_two_sign_ins_the_earlier_time_stands_and_of_two_sign_outs_the_later():
    first, second = came(ADA, 0, 1), came(ADA, 5, 2)
    out, later = left(second, 60, 2), left(first, 65, 1)
    folded = fold([later, second, out, first], FACTS)
    assert stays(folded) == [(ADA, 0, 65)]
    assert codes(folded, first, second, out, later) == ["", "signed_in_twice", "", "signed_out_twice"]


def test_a_late_copy_of_a_sign_in_does_not_bring_back_somebody_who_left():
    first, copy = came(ADA, 0, 1), came(ADA, 5, 2)
    assert stays(fold([first, left(first, 60, 1), copy], FACTS)) == [(ADA, 0, 60)]


def test_somebody_who_comes_back_has_two_stays():
    first, back = came(ADA, 0), came(ADA, 90)
    assert stays(fold([back, left(back, 120), left(first, 60), first], FACTS)) == [(ADA, 0, 60), (ADA, 90, 120)]


def test_a_sign_out_before_its_sign_in_leaves_the_person_on_site():
    arrival = came(ADA, 10)
    early = left(arrival, 5)
    folded = fold([arrival, early], FACTS)
    assert (stays(folded), codes(folded, early)) == ([(ADA, 10, None)], ["out_before_in"])


def test_a_struck_sign_in_stays_struck_whatever_is_said_of_it_elsewhere():
    arrival = came(ADA, 0)
    strike = said("strike", 1, entry=arrival.entry_id, reason="Pressed the wrong name")
    out = left(arrival, 60, 2)
    folded = fold([out, strike, arrival], FACTS)
    assert (stays(folded), codes(folded, out)) == ([], ["stay_struck"])


def test_a_strike_of_one_phone_does_not_undo_what_another_saw():
    wrong, seen = came(ADA, 0, 1), came(ADA, 5, 2)
    strike = said("strike", 1, 1, entry=wrong.entry_id, reason="Pressed the wrong name")
    assert stays(fold([strike, seen, wrong], FACTS)) == [(ADA, 5, None)]


def test_a_struck_sign_out_puts_the_person_back_on_site():
    arrival = came(ADA, 0)
    out = left(arrival, 60)
    strike = said("strike", 61, entry=out.entry_id, reason="Somebody else left")
    assert stays(fold([arrival, out, strike], FACTS)) == [(ADA, 0, None)]


def test_whoever_was_on_site_did_come():
    absent = said("absent", 30, 2, member=ADA)
    folded = fold([absent, came(ADA, 40)], FACTS)
    assert (dict(folded.absent), codes(folded, absent)) == ({}, ["was_on_site"])


def test_a_strike_of_what_has_not_arrived_is_shown():
    strike = said("strike", 1, entry=uuid.uuid4(), reason="A slip")
    folded = fold([strike], FACTS)
    assert folded.remarks[strike.key].refused


# --- Water -----------------------------------------------------------------------------------------------------------


def went_in(minutes: float, *members: int, zone: int = 8, unit: int = 1) -> Said:
    return said("water_in", minutes, members=list(members), zone=zone, unit=unit)


def test_somebody_in_water_is_not_signed_out():
    arrival = came(ADA, 0)
    out = left(arrival, 30)
    folded = fold([arrival, went_in(10, ADA, BEN), out], FACTS)
    assert (stays(folded), codes(folded, out)) == ([(ADA, 0, None)], ["still_in_water"])
    with_exit = fold([arrival, went_in(10, ADA, BEN), out, said("water_out", 25, members=[ADA])], FACTS)
    assert (stays(with_exit), codes(with_exit, out)) == ([(ADA, 0, 30)], [""])


def test_all_out_takes_nobody_out_unless_the_count_agrees():
    went = [came(ADA, 0), came(BEN, 0), went_in(10, ADA, BEN)]
    short, whole = (said("all_out", 60, count=count, expected=2) for count in (1, 2))
    assert (in_water(fold([*went, short], FACTS)), codes(fold([*went, short], FACTS), short)) == (
        {ADA, BEN},
        ["counts_differ"],
    )
    assert in_water(fold([*went, whole], FACTS)) == set()


def test_an_all_out_no_longer_stands_when_another_phone_had_sent_somebody_in():
    pair = [came(ADA, 0), came(BEN, 0), went_in(10, ADA, BEN)]
    out = said("all_out", 60, count=2, expected=2)
    third = said("water_in", 20, 2, members=[CHILD], zone=8, unit=2)
    assert in_water(fold([*pair, out, third], FACTS)) == {ADA, BEN, CHILD}


def test_a_count_knows_whoever_goes_in_at_its_moment_and_no_longer_who_comes_out():
    count = said("head_check", 10, seen=1, expected=2)
    entries = [went_in(5, ADA, BEN), said("water_out", 10, 2, members=[ADA, BEN]), went_in(10, CHILD), count]
    folded = fold(entries, FACTS)
    assert (folded.counted, codes(folded, count)) == ({count.entry_id: 1}, [""])


def test_an_all_out_that_a_late_going_in_belies_expected_more_than_were_counted():
    out = said("all_out", 60, count=2, expected=2)
    late = said("water_in", 20, 2, members=[CHILD], zone=8, unit=2)
    folded = fold([went_in(10, ADA, BEN), out, late], FACTS)
    assert (folded.counted, codes(folded, out)) == ({out.entry_id: 3}, ["counts_differ"])


def test_a_struck_count_counts_nothing_and_of_two_versions_the_first_does():
    wrong, right = said("head_check", 20, seen=9, expected=2), said("head_check", 21, seen=2, expected=2)
    other = replace(right, digest="other", at=right.at + MINUTE, data={"seen": 0, "expected": 0})
    strike = said("strike", 22, entry=wrong.entry_id, reason="Miscounted")
    pair = went_in(10, ADA, BEN)
    folded = fold([other, pair, wrong, right, strike, said("water_out", 21.5, 2, members=[ADA, BEN])], FACTS)
    assert folded.counted == {right.entry_id: 2}
    assert folded.standing[right.entry_id] == right


def test_whoever_goes_in_and_comes_out_in_one_moment_counts_as_in_water():
    assert in_water(fold([went_in(10, ADA, BEN), said("water_out", 10, members=[ADA, BEN])], FACTS)) == {ADA, BEN}


def test_going_on_to_another_zone_is_one_time_in_water_after_the_other():
    folded = fold([went_in(10, ADA, BEN), went_in(20, ADA, BEN, zone=7)], FACTS)
    assert [(stint.zone, stint.out_at) for stint in folded.stints if stint.member == ADA] == [
        (8, START + 20 * MINUTE),
        (7, None),
    ]


def test_what_should_not_happen_in_water_is_shown():
    """Design, H1, H3 and the briefing."""
    ready = [*(came(each, 0) for each in NAMES), said("briefing_heard", 1, members=list(NAMES), items=["water"])]
    alone = went_in(10, BEN)
    assert codes(fold([*ready, alone], FACTS), alone) == ["alone_in_water"]
    deep = went_in(10, ADA, CHILD, zone=9)
    assert codes(fold([*ready, deep], FACTS), deep) == ["too_deep_under_18"]
    beside_another = went_in(10, BEN, CHILD)
    assert codes(fold([*ready, beside_another], FACTS), beside_another) == ["guardian_not_in_water"]
    deaf = went_in(10, ADA, BEN)
    assert codes(fold([came(ADA, 0), came(BEN, 0), deaf], FACTS), deaf) == ["briefing_not_heard"]
    nowhere = went_in(10, ADA, BEN)
    assert codes(fold([nowhere], FACTS), nowhere) == ["not_signed_in"]
    well = went_in(10, ADA, CHILD)
    assert codes(fold([*ready, well], FACTS), well) == [""]


def test_a_child_on_site_without_the_guardian_is_shown_at_both_ends():
    """Design, H3."""
    child, guardian = came(CHILD, 0), came(ADA, 5)
    gone = left(guardian, 60)
    folded = fold([child, guardian, gone], FACTS)
    assert codes(folded, child, guardian, gone) == ["guardian_not_on_site", "", "children_on_site"]
    assert stays(folded) == [(CHILD, 0, None), (ADA, 5, 60)]


def test_working_in_water_is_kept_with_the_stay():
    arrival = came(ADA, 0)
    folded = fold([arrival, went_in(10, ADA, BEN)], FACTS)
    assert [stay.in_water for stay in folded.stays] == [True]


# --- Any order -------------------------------------------------------------------------------------------------------


def key_of(each: Said | None) -> Any:
    return each.key if each else None


def in_one_form(folded: Folded) -> dict[str, Any]:
    return {
        "standing": {key: each.digest for key, each in folded.standing.items()},
        "strikes": {key: each.key for key, each in folded.strikes.items()},
        "stays": [
            (each.said.key, each.member, each.in_at, each.in_water, each.out_at, key_of(each.out), key_of(each.merged))
            for each in folded.stays
        ],
        "stints": [
            (each.id, each.member, each.zone, each.unit, each.in_at, each.out_at, key_of(each.out), key_of(each.merged))
            for each in folded.stints
        ],
        "absent": dict(folded.absent),
        "remarks": dict(folded.remarks),
    }


def crowd(seed: int) -> list[Said]:
    """A thousand entries of five phones."""
    made = entries_of_phones(Random(seed), number=1000, phones=5, members=list(range(1, 41)), zones=[7, 8, 9])
    read = [(phone, read_entry(entry)) for phone, entry in made]
    return [
        Said(
            entry_id=each.entry_id,
            digest=each.digest,
            kind=each.kind,
            at=each.phone_at or START,
            data=each.data,
            phone=phone,
            author=phone,
        )
        for phone, each in read
    ]


@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(min_value=0, max_value=10**6), rng=st.randoms(use_true_random=False))
def test_a_thousand_entries_of_five_phones_give_one_state_in_any_order_with_repeats(seed, rng):
    entries = crowd(seed)
    shuffled = [*entries, *rng.choices(entries, k=200)]
    rng.shuffle(shuffled)
    once = fold(entries, FACTS)
    again = fold(shuffled, FACTS)
    assert in_one_form(again) == in_one_form(once)
    open_stays = [member for member, _came, gone in stays(again) if gone is None]
    assert len(open_stays) == len(set(open_stays))
    assert len(once.remarks) > 50  # the crowd does contradict itself
