"""The day itself, and what becomes of its records."""

from django.utils.translation import gettext_lazy as _

from reedcrew.help.shapes import COMMON_PRACTICE, CONVENTION, Section, Topic, Value
from reedcrew.trade.valuation import FRINGE_PERCENT_MAX, HOURLY_MAX, STEP_MINUTES, Rounding

DAY = Topic(
    slug="day",
    title=_("On the day"),
    lead=_("Who is here, who is in the water, who is out again."),
    icon="clock",
    cautions=("general", "water", "blades"),
    sections=(
        Section(
            anchor="briefing",
            title=_("The briefing"),
            says=_(
                "Before anybody goes in, the crew hears it point by point: hazards, emergency, people, weather, water, "
                "signals, blades, footwear, lightning, drinking. A place with other signals uses its own."
            ),
            why=_("What everyone has heard in the same words nobody has to shout."),
            source=(COMMON_PRACTICE,),
            codes=("briefing", "briefing_not_heard", "briefing_incomplete"),
        ),
        Section(
            anchor="head-count",
            title=_("Head counts"),
            says=_(
                "While anyone is in water everybody is counted at set times, and when they go in and come out. A count "
                "that differs is solved before anything else goes on."
            ),
            why=_("A minute matters when somebody is missing."),
            source=(COMMON_PRACTICE,),
            codes=("count_differs", "still_in_water", "in_water_already", "nobody_named"),
            policy=("headcount_minutes",),
        ),
        Section(
            anchor="sign-in",
            title=_("Sign-in and sign-out"),
            says=_(
                "Everyone signs in on arrival and out on leaving; hours come from these times alone. The day closes "
                "when everybody is out of the water and signed out."
            ),
            why=_("It is how one knows that nobody was left behind, and the record that funders ask for."),
            source=(COMMON_PRACTICE,),
            codes=("people_on_site", "still_on_site", "not_signed_in", "children_on_site", "out_before_in"),
        ),
        Section(
            anchor="strike",
            title=_("Wrong entries"),
            says=_(
                "A wrong entry is struck out with a reason, never erased. It no longer counts, and can still be read."
            ),
            why=_("Whoever checks later must be able to see what was known when."),
            source=(CONVENTION,),
            codes=("entry_struck", "strike_needs_reason"),
        ),
    ),
)

HOURS = Topic(
    slug="hours",
    title=_("Hours and grants"),
    lead=_("An hour is recorded once, corrected in the open, and counts for one grant."),
    icon="book",
    sections=(
        Section(
            anchor="ledger",
            title=_("The ledger"),
            says=_(
                "Nothing in the ledger is changed. A correction is a new entry that names the old one, who made it, "
                "when and why. An approved day is reopened, with a reason, before it is corrected."
            ),
            why=_("Only a record that cannot be tidied afterwards can be believed."),
            source=(_("What counts as match must be verifiable in records: 2 CFR 200.306(b)(1)."),),
            codes=(
                "already_corrected",
                "correction_needs_reason",
                "day_approved",
                "not_approved",
                "reopening_needs_reason",
                "hours_twice",
                "needs_evidence",
            ),
        ),
        Section(
            anchor="once",
            title=_("An hour counts once"),
            says=_("An hour counts toward one grant only, and not toward a second one of the same family of funders."),
            why=_("Match that is pledged twice is not match."),
            source=("2 CFR 200.306(b)(2).", _("Each funder's own rules decide what counts: read them.")),
            codes=("already_claimed", "claimed_in_family", "time_claimed", "not_eligible"),
        ),
        Section(
            anchor="value",
            title=_("What an hour is worth"),
            says=_(
                "Hours times the hourly rate of the task on that date: what paid work of that kind costs. It follows "
                "the task, not what the person earns elsewhere. Benefits may be added in percent."
            ),
            why=_("An engineer who cuts reed cuts reed."),
            source=("2 CFR 200.306(e).", "HHS Grants Policy Statement."),
            codes=("rate_twice", "withdrawal_needs_reason"),
            values=(
                Value(label=_("Highest hourly rate that can be entered"), amount=HOURLY_MAX),
                Value(label=_("Most benefits that can be entered"), amount=FRINGE_PERCENT_MAX, unit="%"),
            ),
        ),
        Section(
            anchor="rounding",
            title=_("Rounding"),
            says=_(
                "A report may round the start and the end of each stay, by the site's clock, once. A time exactly "
                "between two steps goes up. Unrounded times stay in the ledger."
            ),
            why=_("Some funders ask for it; it evens out over time."),
            source=("29 CFR 785.48(b).", _("Ties up: convention, the rule states none.")),
            values=(
                Value(label=_("Five minutes"), amount=STEP_MINUTES[Rounding.FIVE_MINUTES], unit=_("minutes")),
                Value(label=_("A tenth of an hour"), amount=STEP_MINUTES[Rounding.TENTH], unit=_("minutes")),
                Value(label=_("A quarter of an hour"), amount=STEP_MINUTES[Rounding.QUARTER], unit=_("minutes")),
            ),
        ),
    ),
)

KEPT = Topic(
    slug="kept",
    title=_("What is kept, and how long"),
    lead=_("What is private is locked, shown to few for a few days, and emptied in time."),
    icon="key",
    sections=(
        Section(
            anchor="private",
            title=_("Emergency contacts and health notes"),
            says=_(
                "They are encrypted. Organizers of the group can read them, and the crew lead of a day from the day "
                "before to the day after. Each look is recorded, and you can read who looked."
            ),
            why=_("In an emergency somebody must be able to read them; at no other time does anybody need to."),
            source=(COMMON_PRACTICE, _("Local law on private data comes first.")),
            codes=("private_closed", "reason_for_look_needed"),
            policy=("private_months", "look_months"),
        ),
        Section(
            anchor="mails",
            title=_("Mails"),
            says=_("Mails in and out are kept for a while, so that one can see who was told what."),
            why=_("Afterwards they only hold addresses that nobody needs."),
            source=(COMMON_PRACTICE, _("Local law on private data comes first.")),
            policy=("mail_months",),
        ),
    ),
)
