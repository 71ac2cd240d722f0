"""Sentences about which reed a stand is."""

from collections.abc import Mapping
from types import MappingProxyType

IDENTIFICATION_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # The result of a check. Counts are of characters.
        "identification.introduced": (
            "{count} characters that separated the two completely point to the introduced reed, and none that decides "
            "points to the native one."
        ),
        "identification.native": "Signs that decide and point to the native reed: {count}; to the introduced: none.",
        "identification.contradiction": (
            "Characters that decide contradict each other: {introduced} for the introduced reed, {native} for the "
            "native one."
        ),
        "identification.one_only": (
            "One character that decides points to the introduced reed. It takes two: one alone may be misread."
        ),
        "identification.tendencies_only": (
            "No character was seen that separates the two completely. The others overlap too much to decide."
        ),
        "identification.nothing_seen": "No character was looked at that says anything.",
        "identification.ask": "Ask a qualified person, or have a leaf tested genetically.",
        "identification.look_for_spots": (
            "Nobody looked for round black spots. Look before you decide: they would mean native reed."
        ),
        "identification.tendencies_against": (
            "Weaker characters that point the other way: {count}. They do not decide, but look once more."
        ),
        "identification.genetic": "The genetic test by {name} says {result}. It outweighs the characters.",
        "identification.genetic_unsure": "The genetic test by {name} gave no answer, so the characters count.",
        "identification.person": "{name}, a qualified person, says {result}.",
        "identification.person_disagrees": (
            "{name}, a qualified person, says {result}, and the characters say {found}: nobody can be sure yet."
        ),
        # What a character shows.
        "identification.sheaths.retained": "Leaf sheaths on dead stems hold tight: as on the introduced reed.",
        "identification.sheaths.fall_off": "Leaf sheaths on dead stems fall or slip off: as on the native reed.",
        "identification.sheaths.no_dead_stems": "No dead stems were found, so the sheaths say nothing.",
        "identification.internodes.tan": "Lower stems are tan to dull green: as on the introduced reed.",
        "identification.internodes.red": "Lower stems are dark red to chestnut: as on the native reed.",
        "identification.internodes.dead_only": "Only dead stems were seen, and their colour says nothing.",
        "identification.spots.seen": "Round black spots on the stem: they were seen on native reed only.",
        "identification.spots.none": "No round black spots. That says nothing: many native plants have none.",
        "identification.ligule.base_introduced": (
            "The ligule's base is {mm} mm, at most {limit} mm: as on the introduced reed."
        ),
        "identification.ligule.base_native": "The ligule's base is {mm} mm, {limit} mm or more: as on the native reed.",
        "identification.ligule.base_between": "The ligule's base is {mm} mm, where the two overlap.",
        "identification.ligule.floras_introduced": (
            "The ligule with its hairs is {mm} mm, under {limit} mm: as on the introduced reed."
        ),
        "identification.ligule.floras_native": (
            "The ligule with its hairs is {mm} mm, {limit} mm or more: as on the native reed."
        ),
        "identification.ligule.floras_between": "The ligule with its hairs is {mm} mm, where the two overlap.",
        "identification.ligule.not_stated": (
            "The ligule is {mm} mm, but nobody said whether its hairs count: published limits contradict each other, "
            "so it says nothing."
        ),
        "identification.lower_glume.introduced": "The lower glume is {mm} mm, under {limit} mm: introduced reed.",
        "identification.lower_glume.native": "The lower glume is {mm} mm, over {limit} mm: native reed.",
        "identification.lower_glume.between": "The lower glume is {mm} mm, where the two overlap.",
        "identification.upper_glume.introduced": "The upper glume is {mm} mm, under {limit} mm: introduced reed.",
        "identification.upper_glume.native": "The upper glume is {mm} mm, over {limit} mm: native reed.",
        "identification.upper_glume.between": "The upper glume is {mm} mm, where the two overlap.",
        "identification.lemma.native": "The lemma is {mm} mm, over {limit} mm: native reed.",
        "identification.lemma.between": "The lemma is {mm} mm, which either reed may have.",
        "identification.surface.rough": "Stems are dull, ridged and rough: more often the introduced reed.",
        "identification.surface.smooth": "Stems are smooth and shiny: more often the native reed.",
        "identification.surface.between": "The stem surface is in between and says nothing.",
        "identification.leaves.blue_green": "Leaves are blue-green to grey-green: more often the introduced reed.",
        "identification.leaves.yellow_green": "Leaves are yellow-green: more often the native reed.",
        "identification.leaves.between": "The leaf colour is in between and says nothing.",
        "identification.seed_head.bushy": "Seed heads are dense and bushy: more often the introduced reed.",
        "identification.seed_head.sparse": "Seed heads are sparse: more often the native reed.",
        "identification.seed_head.between": "Seed heads are in between and say nothing.",
        "identification.seed_head.no_heads": "There are no seed heads to look at.",
        "identification.flowering.by_july": "In flower by July: more often the native reed.",
        "identification.flowering.august": "In flower in August: either reed may be.",
        "identification.flowering.september": "In flower in September: more often the introduced reed.",
        "identification.stand_form.dense": (
            "A dense stand of reed alone with last year's dead stems: more often the introduced reed."
        ),
        "identification.stand_form.mixed": "Reed mixed with other plants, few dead stems: more often the native reed.",
        "identification.stand_form.between": "How densely it grows is in between and says nothing.",
        "identification.height.introduced": "Stems are {cm} cm tall, over {limit} cm: more often the introduced reed.",
        "identification.height.native": "Stems are {cm} cm tall, under {limit} cm: more often the native reed.",
        "identification.height.between": "Stems are {cm} cm tall, which either reed may be.",
        # What an organizer may decide, and what holds for the stand.
        "decision.no_check_found_it": (
            "No check that still counts found the introduced reed. Record one, or name the genetic test or the "
            "qualified person that you rest on."
        ),
        "decision.native_found": (
            "Checks that found native reed: {count}. A genetic test or a qualified person settles that: name which."
        ),
        "standing.not_looked": "Nobody has checked which reed this is, so the stand is protected.",
        "standing.not_decided": (
            "No organizer has decided which reed this is, so the stand is protected. Checks so far: {introduced} found "
            "introduced, {native} native, {not_sure} not sure."
        ),
        "standing.introduced": "An organizer has confirmed the introduced reed.",
        "standing.native": "An organizer has decided that it is native reed: the stand is protected.",
        "standing.not_sure": (
            "An organizer has decided that nobody can be sure yet: the stand is protected until a qualified person or "
            "a genetic test has decided."
        ),
        "standing.closed_by_check": (
            "A check after the decision found native reed. The stand is closed until an organizer decides again."
        ),
        "standing.decide_again": (
            "Checks after the decision that contradict it: {count}. An organizer has to decide again."
        ),
    }
)
