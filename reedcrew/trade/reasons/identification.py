"""Sentences about which reed a stand is."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

IDENTIFICATION_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # The result of a check. Counts are of characters.
        "identification.introduced": _(
            "{count} characters that separated the two completely point to the introduced reed, and none that decides "
            "points to the native one."
        ),
        "identification.native": _("Signs that decide and point to the native reed: {count}; to the introduced: none."),
        "identification.contradiction": _(
            "Characters that decide contradict each other: {introduced} for the introduced reed, {native} for the "
            "native one."
        ),
        "identification.one_only": _(
            "One character that decides points to the introduced reed. It takes two: one alone may be misread."
        ),
        "identification.tendencies_only": _(
            "No character was seen that separates the two completely. The others overlap too much to decide."
        ),
        "identification.nothing_seen": _("No character was looked at that says anything."),
        "identification.ask": _("Ask a qualified person, or have a leaf tested genetically."),
        "identification.look_for_spots": _(
            "Nobody looked for round black spots. Look before you decide: they would mean native reed."
        ),
        "identification.tendencies_against": _(
            "Weaker characters that point the other way: {count}. They do not decide, but look once more."
        ),
        "identification.genetic": _("The genetic test by {name} says {result}. It outweighs the characters."),
        "identification.genetic_unsure": _("The genetic test by {name} gave no answer, so the characters count."),
        "identification.person": _("{name}, a qualified person, says {result}."),
        "identification.person_disagrees": _(
            "{name}, a qualified person, says {result}, and the characters say {found}: nobody can be sure yet."
        ),
        # What a character shows.
        "identification.sheaths.retained": _("Leaf sheaths on dead stems hold tight: as on the introduced reed."),
        "identification.sheaths.fall_off": _("Leaf sheaths on dead stems fall or slip off: as on the native reed."),
        "identification.sheaths.no_dead_stems": _("No dead stems were found, so the sheaths say nothing."),
        "identification.internodes.tan": _("Lower stems are tan to dull green: as on the introduced reed."),
        "identification.internodes.red": _("Lower stems are dark red to chestnut: as on the native reed."),
        "identification.internodes.dead_only": _("Only dead stems were seen, and their colour says nothing."),
        "identification.spots.seen": _("Round black spots on the stem: they were seen on native reed only."),
        "identification.spots.none": _("No round black spots. That says nothing: many native plants have none."),
        "identification.ligule.base_introduced": _(
            "The ligule's base is {mm} mm, at most {limit} mm: as on the introduced reed."
        ),
        "identification.ligule.base_native": _(
            "The ligule's base is {mm} mm, {limit} mm or more: as on the native reed."
        ),
        "identification.ligule.base_between": _("The ligule's base is {mm} mm, where the two overlap."),
        "identification.ligule.floras_introduced": _(
            "The ligule with its hairs is {mm} mm, under {limit} mm: as on the introduced reed."
        ),
        "identification.ligule.floras_native": _(
            "The ligule with its hairs is {mm} mm, {limit} mm or more: as on the native reed."
        ),
        "identification.ligule.floras_between": _("The ligule with its hairs is {mm} mm, where the two overlap."),
        "identification.ligule.not_stated": _(
            "The ligule is {mm} mm, but nobody said whether its hairs count: published limits contradict each other, "
            "so it says nothing."
        ),
        "identification.lower_glume.introduced": _("The lower glume is {mm} mm, under {limit} mm: introduced reed."),
        "identification.lower_glume.native": _("The lower glume is {mm} mm, over {limit} mm: native reed."),
        "identification.lower_glume.between": _("The lower glume is {mm} mm, where the two overlap."),
        "identification.upper_glume.introduced": _("The upper glume is {mm} mm, under {limit} mm: introduced reed."),
        "identification.upper_glume.native": _("The upper glume is {mm} mm, over {limit} mm: native reed."),
        "identification.upper_glume.between": _("The upper glume is {mm} mm, where the two overlap."),
        "identification.lemma.native": _("The lemma is {mm} mm, over {limit} mm: native reed."),
        "identification.lemma.between": _("The lemma is {mm} mm, which either reed may have."),
        "identification.surface.rough": _("Stems are dull, ridged and rough: more often the introduced reed."),
        "identification.surface.smooth": _("Stems are smooth and shiny: more often the native reed."),
        "identification.surface.between": _("The stem surface is in between and says nothing."),
        "identification.leaves.blue_green": _("Leaves are blue-green to grey-green: more often the introduced reed."),
        "identification.leaves.yellow_green": _("Leaves are yellow-green: more often the native reed."),
        "identification.leaves.between": _("The leaf colour is in between and says nothing."),
        "identification.seed_head.bushy": _("Seed heads are dense and bushy: more often the introduced reed."),
        "identification.seed_head.sparse": _("Seed heads are sparse: more often the native reed."),
        "identification.seed_head.between": _("Seed heads are in between and say nothing."),
        "identification.seed_head.no_heads": _("There are no seed heads to look at."),
        "identification.flowering.by_july": _("In flower by July: more often the native reed."),
        "identification.flowering.august": _("In flower in August: either reed may be."),
        "identification.flowering.september": _("In flower in September: more often the introduced reed."),
        "identification.stand_form.dense": _(
            "A dense stand of reed alone with last year's dead stems: more often the introduced reed."
        ),
        "identification.stand_form.mixed": _(
            "Reed mixed with other plants, few dead stems: more often the native reed."
        ),
        "identification.stand_form.between": _("How densely it grows is in between and says nothing."),
        "identification.height.introduced": _(
            "Stems are {cm} cm tall, over {limit} cm: more often the introduced reed."
        ),
        "identification.height.native": _("Stems are {cm} cm tall, under {limit} cm: more often the native reed."),
        "identification.height.between": _("Stems are {cm} cm tall, which either reed may be."),
        # What an organizer may decide, and what holds for the stand.
        "decision.no_check_found_it": _(
            "No check that still counts found the introduced reed. Record one, or name the genetic test or the "
            "qualified person that you rest on."
        ),
        "decision.native_found": _(
            "Checks that found native reed: {count}. A genetic test or a qualified person settles that: name which."
        ),
        "standing.not_looked": _("Nobody has checked which reed this is, so the stand is protected."),
        "standing.not_decided": _(
            "No organizer has decided which reed this is, so the stand is protected. Checks so far: {introduced} found "
            "introduced, {native} native, {not_sure} not sure."
        ),
        "standing.introduced": _("An organizer has confirmed the introduced reed."),
        "standing.native": _("An organizer has decided that it is native reed: the stand is protected."),
        "standing.not_sure": _(
            "An organizer has decided that nobody can be sure yet: the stand is protected until a qualified person or "
            "a genetic test has decided."
        ),
        "standing.closed_by_check": _(
            "A check after the decision found native reed. The stand is closed until an organizer decides again."
        ),
        "standing.decide_again": _(
            "Checks after the decision that contradict it: {count}. An organizer has to decide again."
        ),
    }
)
