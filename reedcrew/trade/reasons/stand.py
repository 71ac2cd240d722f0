"""Sentences about a stand over the years: treatment, effort, samples and decline."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

STAND_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # trade.treatment
        "treatment.not_begun": _(
            "Cutting has not begun here. Expect several years of it: a stand of reed does not go in one."
        ),
        "treatment.first_year": _(
            "The first year of cutting. The stand will grow back next summer, thinner if the stubble stays under "
            "water: plan to come back. It takes several years."
        ),
        "treatment.later_year": _(
            "Year {year} of cutting. Expect fewer stems where stubble stays under water, and regrowth from what is "
            "left: come back every year until no stem is seen for {clear_years} years."
        ),
        # trade.effort
        "effort.counted": _("Counted stem by stem."),
        "effort.one_bundle": _("{bundles} bundles of {mean} stems; one sampled bundle gives no interval."),
        "effort.sample": _("{bundles} bundles of {mean} stems, the mean of {sampled} sampled; {percent} % interval."),
        "effort.rate": _(
            "Rests on records (person-hours: {hours}, closed days: {days}), beside a starting rate worth "
            "{prior_hours} person-hours."
        ),
        "effort.rate_start": _(
            "No record yet: the group's starting value of {rate} stems per person-hour (convention; no published rate "
            "exists)."
        ),
        "effort.dispersion": _(
            "Days differ: the interval is {times} times as wide as if stems came at an even rate (convention)."
        ),
        "effort.left": _(
            "Stems ÷ stems per person-hour, for a crew of {water} people cutting in water and {land} on dry land, "
            "{hours} h each; both sides are worked at the same time."
        ),
        "effort.hours_of_day": _(
            "Hours are those of sign-in and sign-out on closed days. In water count the stays recorded in water. On "
            "land count the people whom the day's plan gave a spade; where it names none, everyone on shore, so that "
            "the rate is then that of a whole shore crew."
        ),
        "effort.stems_of_day": _(
            "Stems are the tallies of closed days, struck-out ones left out. A zone counts as water when it was deeper "
            "than 0 cm in the day's plan, or at its survey where no plan was made."
        ),
        "effort.crew_usual": _("The usual crew: medians of this stand's latest closed days ({days})."),
        "effort.crew_of_group": _(
            "The usual crew: medians of the group's latest closed days ({days}); this stand has none."
        ),
        "effort.crew_start": _("No day is closed yet: told for a crew that is only a starting value (convention)."),
        "effort.crew_asked": _("For the crew that was asked for."),
        "effort.cut_since": _("{stems} stems cut since the survey in this year are taken off."),
        "effort.old_survey": _(
            "In part from a survey of an earlier year, {on}: what grew since is not known. Survey before the next day."
        ),
        "effort.no_crew_in_water": _("Stems stand in water, and nobody of this crew cuts there."),
        "effort.no_crew_on_land": _("Stems stand on dry land, and nobody of this crew cuts there."),
        "effort.stems_without_interval": _(
            "Some stems come from an estimate without an interval, so the limits are narrower than they should be: "
            "survey with at least two quadrats a zone."
        ),
        "effort.implausible": _("More than {limit} stems per person-hour is not plausible for live reed: check it."),
        # trade.sampling
        "sampling.t": _(
            "Mean of {n} quadrats ÷ quadrat size; {percent} % interval by Student's t with {df} degrees of freedom. "
            "The zone's area is not known, so no finite correction is made."
        ),
        "sampling.t_finite": _(
            "Mean of {n} quadrats ÷ quadrat size; {percent} % interval by Student's t with {df} degrees of freedom and "
            "the finite correction for {share} % of the area counted (Freese 1962)."
        ),
        "sampling.one": _(
            "One quadrat only: it gives a number, but no interval is claimed. Count at least 2, better 5 or more."
        ),
        "sampling.all": _("All of it was counted, in {n} quadrats: no uncertainty is left from sampling."),
        "sampling.covers_more": _(
            "The quadrats cover more than the area of the zone, so no interval is claimed: check the quadrat size and "
            "the outline."
        ),
        "sampling.none_seen": _(
            "No stem in {n} quadrats. Stems may still stand between them: the upper limit is the exact Poisson one "
            "({percent} %)."
        ),
        "sampling.no_spread": _("All quadrats have the same count, so the interval is narrower than it should be."),
        "sampling.raised": _("The lower limit is raised to the stems that were counted."),
        "sampling.dense": _("More than {limit} stems/m² is hardly plausible: check the counts and the quadrat size."),
        "sampling.no_interval": _(
            "No interval is claimed for the total: one quadrat says nothing of scatter in {names}."
        ),
        "sampling.stratified": _(
            "Sum over {zones} zones of area × density; {percent} % interval by Student's t with {df} degrees of "
            "freedom (Satterthwaite), each zone with its finite correction."
        ),
        "sampling.summed": _(
            "Sum over {zones} zones; without scatter in the counts the limits are those of the zones."
        ),
        "sampling.empty_zones": _("The interval takes no account of stems that may stand unseen in {names}."),
        "sampling.ratio": _("Ratio of two surveys with its {percent} % interval on the log scale."),
        "sampling.ratio_alone": _(
            "Ratio of two surveys; no interval is claimed, because one of them has none or no stem was left."
        ),
        "sampling.spread": _("Too few counts to say how the stems stand."),
        "sampling.clumped": _(
            "The stems stand in clumps: the counts vary {index} times as much as at random. More quadrats help more "
            "than larger ones."
        ),
        "sampling.random": _("The counts vary about as much as at random ({index} times)."),
        "sampling.even": _("The counts vary less than at random ({index} times): the stems stand evenly."),
        "sampling.size_proportional": _(
            "{n} quadrats shared by area, at least 2 a zone: the fewest for which the {percent} % interval of the "
            "total should be as narrow as wanted (t, finite correction)."
        ),
        "sampling.size_neyman": _(
            "{n} quadrats shared by area and scatter (Neyman), at least 2 a zone: the fewest for which the {percent} % "
            "interval of the total should be as narrow as wanted (t, finite correction)."
        ),
        "sampling.placed": _(
            "Drawn by chance, evenly over the area, from the number {seed}: the same number gives the same places."
        ),
        "sampling.placed_fewer": _(
            "Only {placed} of {wanted} positions found room so far apart: ask for fewer or a smaller distance."
        ),
        # stands.queries.stems
        "stems.typed": _("Estimated by eye and typed in; no quadrat was counted here."),
        "stems.typed_without_area": _(
            "Estimated by eye and typed in: quadrats were counted on {date}, but the zone has no outline, so there is "
            "no area to multiply the density by."
        ),
        "stems.surveyed": _(
            "Area of {area_m2} m² × {density} stems/m², from {n} quadrats of {quadrat_m2} m² on {date}."
        ),
        # trade.decline; days are written year-month-day
        "decline.too_few": _(
            "Too few yearly surveys that found stems: {count}. A decline takes at least {least}, in different "
            "years; three or more give better limits."
        ),
        "decline.clear": _(
            "No stem was seen on {on}. Treat the stand as gone only after {years} clear years (convention)."
        ),
        "decline.below": _(
            "Already at or below {stems} stems, {percent} % of the first survey, on {on}. Come back until no stem is "
            "seen for {years} years (convention)."
        ),
        "decline.not_declining": _("Not declining: each year has {factor} times the stems of the year before."),
        "decline.year": _(
            "At this pace at most {stems} stems, {percent} % of the first survey, are left in {year}. A line of the "
            "past is no promise: it holds while the work goes on as before."
        ),
        "decline.not_within": _(
            "At this pace more than {stems} stems, {percent} % of the first survey, are left in {years} years."
        ),
        "decline.may_not": _(
            "The limits do not rule out that it takes more than {years} years, or that it does not decline."
        ),
        "decline.line": _(
            "Line through the logarithm of the stems of {count} surveys, one a year: each year has {factor} times the "
            "stems of the year before."
        ),
        "decline.limits_t": _(
            "Weighted by the surveys' standard errors. 95 % limits by t (degrees of freedom: {freedom}) from the "
            "scatter around the line, and never narrower than by the standard errors."
        ),
        "decline.limits_t_unweighted": _(
            "Not every survey has a standard error, so all weigh alike. 95 % limits by t (degrees of "
            "freedom: {freedom}) from the scatter around the line."
        ),
        "decline.limits_ratio": _(
            "Two surveys only: 95 % limits are those of their ratio, by their standard errors (normal on the log "
            "scale). Whether the years differ in other ways they cannot show."
        ),
        "decline.no_limits": _("Two surveys without standard errors: no interval can be claimed."),
        "decline.implausible": _(
            "A yearly factor outside {low} to {high} is unusual (convention): check that the surveys cover the same "
            "ground at the same time of year."
        ),
        "decline.one_a_year": _(
            "Left out: {left_out}. Of each year the first survey counts, before that year's cutting, and before the "
            "first cut only the last; surveys of one winter show one season."
        ),
        "decline.zero_left_out": _("A year without a stem between others is left out of the line."),
        "decline.seasons": _(
            "The surveys lie up to {days} days apart in their years. An autumn beside a spring invents a decline or a "
            "rebound: survey in the same weeks each year."
        ),
        "decline.published_water": _(
            "Cut under water and kept under: {low} to {high} % of the stems a year later in a published trial "
            "(Bickford and others 2026: 92 to 99 % fewer after two seasons)."
        ),
        "decline.published_land": _(
            "Cut on land: {low} % of the stems the next spring when mown all season (Derr 2008), up to {high} % when "
            "cut once (Greet and Rees 2015; the upper end is a convention). Height and stoutness may fall instead."
        ),
        "decline.inside": _("This stand, with {percent} %, is inside that range."),
        "decline.slower": _("This stand, with {percent} %, declines slower than that."),
        "decline.faster": _("This stand, with {percent} %, declines faster than that."),
        "decline.places": _(
            "Places differ: depth over the stubble, how often and when is cut, and how old the stand is."
        ),
        # stands.queries.survey_plan
        "survey_plan.counts": _("Mean and scatter from {n} quadrats counted on {date}."),
        "survey_plan.guess": _(
            "Guessed: {least} to {most} stems in a quadrat, the range taken for four standard deviations (common "
            "practice, no source)."
        ),
        "survey_plan.no_area": _("The zone has no outline, so its area is not known."),
        "survey_plan.no_counts": _("No quadrat was counted here yet: guess the fewest and most stems of a quadrat."),
        "survey_plan.one_quadrat": _(
            "One quadrat says nothing of scatter: guess the fewest and most stems of a quadrat."
        ),
        "survey_plan.other_size": _(
            "Its last survey had quadrats of {quadrat_m2} m²: choose that size, or guess the fewest and most stems."
        ),
    }
)
