"""When work is allowed, and on which reed."""

from django.utils.translation import gettext as now_in_words
from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, CONVENTION, Section, Table, Topic, Value
from reedcrew.trade.identification import CHARACTERS
from reedcrew.trade.identification.finding import COMPLETE_FOR_INTRODUCED
from reedcrew.trade.season import EDGE_DAYS, NESTING_STARTS

WINDOW = Topic(
    slug="window",
    title=_("When work is allowed"),
    lead=_("Reed is cut in the weeks that help against it and do the least harm to animals."),
    icon="day",
    cautions=("general",),
    sections=(
        Section(
            anchor="weeks",
            title=_("The permitted weeks"),
            says=_(
                "Work days lie inside the permitted weeks. A site can have its own weeks, with the authority that set "
                "them. A day outside needs a written reason, and everyone who opens it sees a warning."
            ),
            why=_(
                "By then most birds have left the nest and fish have spawned at the edges. Until autumn the plant "
                "sends its reserves down into the rhizome; cutting before that takes most from it."
            ),
            source=(COMMON_PRACTICE,),
            codes=("season", "outside_window", "moves.season_closed", "moves.season_water_closed"),
            policy=("window_opens", "window_closes"),
        ),
        Section(
            anchor="edges",
            title=_("The first and the last week"),
            says=_("In the first and the last week of the permitted weeks the page of a day shows a caution."),
            why=_("A window on paper is not the season outside: look at the place before you decide."),
            source=(COMMON_PRACTICE,),
            codes=("season.first_week", "season.last_week"),
            values=(Value(label=_("Length of each edge"), amount=EDGE_DAYS, unit=_("days")),),
        ),
        Section(
            anchor="nests",
            title=_("Nests"),
            says=_(
                "While birds may nest, walk through the stand and look for active nests before anybody cuts. An active "
                "nest is left alone, with room around it. This date opens and closes no day."
            ),
            why=_("Some birds nest late in reed, and in many places the law protects every active nest."),
            source=(
                _(
                    "General nesting period of migratory birds in Canada (canada.ca): may start mid-March, may last "
                    "to late August. It differs by zone and runs later in the north."
                ),
            ),
            codes=("season.nesting",),
            policy=("nest_check_until",),
            values=(Value(label=_("Birds may nest from"), amount=NESTING_STARTS),),
        ),
        Section(
            anchor="notices",
            title=_("Notices of authorities"),
            says=_(
                "A notice can forbid or permit work on certain days, on the whole site or only in water. What an "
                "authority forbids stays closed; only its own permit, named on the day, opens it."
            ),
            why=_("The authority knows the place and answers for it. Reedcrew only keeps what you wrote down."),
            source=(_("The notice itself, as it was typed in. Read it, and ask the authority when in doubt."),),
            codes=(
                "closed_by_authority",
                "season.forbidden",
                "season.forbidden_in_water",
                "season.not_permitted",
                "season.not_permitted_in_water",
                "season.advice_against",
                "season.advice_only",
            ),
        ),
    ),
)


def characters() -> Table:
    return Table(
        caption=_("Characters, the most decisive first"),
        headings=(_("Character"), _("Introduced reed"), _("Native reed"), _("Source")),
        cells=tuple(
            (now_in_words(facts.title), now_in_words(facts.introduced), now_in_words(facts.native), facts.source)
            for facts in CHARACTERS.values()
        ),
    )


IDENTIFICATION = Topic(
    slug="identification",
    title=_("Which reed it is"),
    lead=_("Only the introduced reed is cut. The native one is worth keeping, and looks much like it."),
    icon="reed",
    sections=(
        Section(
            anchor="protected",
            title=_("A stand is protected until it is confirmed"),
            says=_(
                "A work day can be posted only on a stand that an organizer has confirmed as the introduced "
                "subspecies. A native, doubtful or unchecked stand cannot have one."
            ),
            why=_("Cut native reed is a loss that nobody can undo. Waiting for a second look costs a week."),
            source=(_("Rule of this project."),),
            codes=("identification", "standing", "stand_protected", "told.stand_protected", "day_not_plannable"),
        ),
        Section(
            anchor="characters",
            title=_("What a check looks at"),
            says=_(
                "A check asks for what was seen and works the finding out. The introduced reed takes several "
                "characters that separate completely; one strong sign of the native reed is enough to protect a stand."
            ),
            why=_("No single character decides everywhere; colours and heights overlap."),
            source=(
                "McTavish, Smith, Mechanda, Smith and Bourchier (2023), Invasive Plant Science and Management "
                "16:110-118, doi 10.1017/inp.2023.15.",
                "Swearingen and Saltonstall (2010), field guide.",
                "Saltonstall, Peterson and Soreng (2004), Sida 21: 690.",
                _("Limits of the ligule, and how many characters are needed: convention of this project."),
            ),
            codes=("nothing_observed",),
            values=(
                Value(
                    label=_("Characters that separate completely, for a finding of the introduced reed"),
                    amount=COMPLETE_FOR_INTRODUCED,
                ),
            ),
            table=characters,
        ),
        Section(
            anchor="decision",
            title=_("Who decides"),
            says=_(
                "An organizer decides, on the findings, a genetic test or a qualified person. Against the findings "
                "only a test or a qualified person will do. A later check that disagrees asks for a new decision, and "
                "a sign of the native reed closes the stand until then."
            ),
            why=_("A finding is arithmetic on what somebody saw; somebody must answer for it."),
            source=(CONVENTION,),
            codes=("decision", "decision_against_findings", "decision_without_check", "decision_without_reason"),
        ),
    ),
)
