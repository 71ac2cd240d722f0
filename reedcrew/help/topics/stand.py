"""A stand over the years: counts, work left and decline."""

from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, CONVENTION, Section, Topic, Value
from reedcrew.trade.decline import APART_DAYS_MIN, SEASON_DAYS_MAX, SURVEYS_MIN, YEARS_AHEAD
from reedcrew.trade.effort import CONFIDENCE, STARTING_CREW
from reedcrew.trade.effort.rates import PRIOR_PERSON_HOURS
from reedcrew.trade.sampling.counts import UNUSUAL
from reedcrew.trade.treatment import CLEAR_YEARS

SAMPLING = Topic(
    slug="sampling",
    title=_("Counting a stand"),
    lead=_("A few squares, counted with care and placed by chance, tell how many stems stand."),
    icon="chart",
    sections=(
        Section(
            anchor="quadrats",
            title=_("Quadrats"),
            says=_(
                "A quadrat is a square in which every stem is counted. Its place is drawn by chance, evenly over the "
                "zone. The same number draws the same places again."
            ),
            why=_("Whoever chooses the square chooses the answer, without meaning to."),
            source=("Freese, Elementary Forest Sampling, USDA Agriculture Handbook 232 (1962).",),
            codes=("sampling.placed", "sampling.placed_fewer", "no_quadrats", "quadrats_refused"),
        ),
        Section(
            anchor="interval",
            title=_("How sure a number is"),
            says=_(
                "Beside each estimate stand its limits. Of many such intervals so large a share holds the true number. "
                "Where too little was counted no limits are claimed."
            ),
            why=_("A number without limits looks surer than it is."),
            source=(
                "Freese, Elementary Forest Sampling, USDA Agriculture Handbook 232 (1962).",
                _("Zones together: Cochran, Sampling Techniques (1977), with Satterthwaite's degrees of freedom."),
            ),
            codes=("sampling", "stems", "effort.counted", "effort.one_bundle", "effort.sample"),
            values=(Value(label=_("Share of the intervals"), amount=100 * CONFIDENCE, unit="%"),),
        ),
        Section(
            anchor="clumps",
            title=_("Clumps"),
            says=_(
                "When counts vary more than at random, the stems stand in clumps: more quadrats help, not larger ones."
            ),
            why=_("One quadrat in a gap and one in a tuft say little about the whole."),
            source=(_("Index of dispersion; what counts as unusual is a convention."),),
            codes=("sampling.clumped", "sampling.random", "sampling.even", "sampling.spread"),
            values=(Value(label=_("Chance below which a scatter is called clumped"), amount=100 * UNUSUAL, unit="%"),),
        ),
        Section(
            anchor="how-many",
            title=_("How many quadrats"),
            says=_(
                "From the counts so far, or from a guess of the fewest and the most, the page says how many are needed "
                "for limits as narrow as you want."
            ),
            why=_("Counting too few wastes the day; counting too many wastes the season."),
            source=(
                "Freese, Elementary Forest Sampling, USDA Agriculture Handbook 232 (1962).",
                _("Scatter from a guessed range: common practice, no source."),
            ),
            codes=("survey_plan", "sampling.size_proportional", "sampling.size_neyman"),
        ),
        Section(
            anchor="work-left",
            title=_("How much work is left"),
            says=_(
                "Stems that stand, divided by the stems that one person cuts in an hour. The rate starts from the "
                "group's own value and is soon learned from its closed days."
            ),
            why=_("Crews, tools and reed differ more than any published rate could say; none was found."),
            source=(CONVENTION,),
            codes=("effort",),
            policy=("water_stems_per_hour", "land_stems_per_hour"),
            values=(
                Value(label=_("The starting value weighs as much as"), amount=PRIOR_PERSON_HOURS, unit="h"),
                Value(label=_("Starting crew in water"), amount=STARTING_CREW.in_water),
                Value(label=_("Starting crew on land"), amount=STARTING_CREW.on_land),
            ),
        ),
    ),
)

DECLINE = Topic(
    slug="decline",
    title=_("Until a stand is gone"),
    lead=_("A stand takes several years. What matters is that each summer has fewer stems than the one before."),
    icon="reed",
    sections=(
        Section(
            anchor="years",
            title=_("Years of treatment"),
            says=_(
                "Every stand shows its year of treatment and what to expect next. It counts as gone only after some "
                "years without a single stem."
            ),
            why=_("The rhizome lives on for years after the last stem that anybody saw."),
            source=(COMMON_PRACTICE,),
            codes=("treatment", "decline.clear"),
            values=(Value(label=_("Years without a stem"), amount=CLEAR_YEARS),),
        ),
        Section(
            anchor="forecast",
            title=_("The forecast"),
            says=_(
                "A line through the surveys of the years, on a scale where equal steps are equal shares, is followed "
                "until few enough stems are left. A line of the past is no promise."
            ),
            why=_("Cutting takes a share of what stands each year, not a number."),
            source=(
                _("Least squares on logarithms, weighted by the surveys' standard errors. Limits of use: convention."),
            ),
            codes=("decline",),
            policy=("gone_percent",),
            values=(
                Value(label=_("Fewest surveys"), amount=SURVEYS_MIN),
                Value(label=_("Years that a line is followed"), amount=YEARS_AHEAD),
                Value(label=_("Surveys in the same weeks, days apart at most"), amount=SEASON_DAYS_MAX),
                Value(label=_("Surveys of two seasons, days apart at least"), amount=APART_DAYS_MIN),
            ),
        ),
        Section(
            anchor="published",
            title=_("Beside published trials"),
            says=_("The yearly change of a stand is set beside that of published trials of the same way to cut."),
            why=_("It shows early whether something is amiss: water too low over the stubble, or a missed edge."),
            source=(
                "Bickford and others (2026), J. Great Lakes Research.",
                "Derr (2008).",
                _("Greet and Rees (2015); the upper end is a convention."),
            ),
            codes=(
                "decline.published_water",
                "decline.published_land",
                "decline.inside",
                "decline.slower",
                "decline.faster",
                "decline.places",
            ),
        ),
    ),
)
