"""Sentences of a report: the same on its page, on paper and in a bundle."""

from decimal import Decimal

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext

from reedcrew.grants.reports.records import DayLine, LoadLine, Report
from reedcrew.trade.valuation import Rounding
from reedcrew.web.times import clock_text, day_text


def hours_text(minutes: int) -> str:
    """Minutes as hours with two decimals; no whole minute lies exactly between two."""
    return f"{Decimal(minutes) / 60:.2f}"


def notes(report: Report) -> list[str]:
    """What the reader must know before the figures."""
    found = []
    if count := len(report.unapproved):
        text = ngettext("%(count)d work day is not approved yet.", "%(count)d work days are not approved yet.", count)
        found.append(text % {"count": count})
    if report.hours.unvalued:
        text = gettext("%(hours)s h have no recorded rate, and no value here.")
        found.append(text % {"hours": _hours(report.hours.unvalued)})
    if count := report.stems.untallied:
        text = ngettext(
            "%(count)d work day has no tally: what it removed is unknown and not in the sum.",
            "%(count)d work days have no tally: what they removed is unknown and not in the sum.",
            count,
        )
        found.append(text % {"count": count})
    return found


def evidence(day: DayLine) -> list[str]:
    """What shows that a day was so, in short lines."""
    found = []
    if day.sign_ins and day.first_in and day.last_out:
        text = ngettext(
            "%(count)d sign-in, %(first)s to %(last)s", "%(count)d sign-ins, %(first)s to %(last)s", day.sign_ins
        )
        times = {"first": f"{day.first_in.astimezone(day.zone_info):%H:%M}", "last": clock_text(day.last_out, day.zone)}
        found.append(text % {"count": day.sign_ins, **times})
    else:
        found.append(gettext("no sign-in sheet"))
    if day.approved_at:
        when = day_text(day.approved_at.astimezone(day.zone_info).date())
        found.append(gettext("approved by %(code)s, %(when)s") % {"code": day.approved_by, "when": when})
    else:
        found.append(gettext("not approved"))
    if day.corrections:
        text = ngettext("%(count)d correction", "%(count)d corrections", day.corrections)
        found.append(text % {"count": day.corrections})
    if day.elsewhere:
        found.append(gettext("%(hours)s h of the day do not count here") % {"hours": _hours(day.elsewhere)})
    return found


def after_the_sun(load: LoadLine) -> str:
    """How many bags were taken on after their time in the sun, when, by whom and where to; a dash for piles."""
    if load.sun_until is None:
        return "–"
    still = gettext("%(count)s not taken on yet") % {"count": number_format(load.count - load.moved_on)}
    if load.moved_on_last is None:
        return still
    gone = gettext("%(count)s taken on by %(day)s (%(people)s)") % {
        "count": number_format(load.moved_on),
        "day": day_text(load.moved_on_last),
        "people": ", ".join(load.moved_on_by),
    }
    if load.moved_on_to:
        gone = gettext("%(gone)s, to: %(places)s") % {"gone": gone, "places": "; ".join(load.moved_on_to)}
    return gone if load.moved_on == load.count else f"{gone}\n{still}"


def methods(report: Report) -> list[str]:
    """How the numbers are known: a sentence or two for each kind."""
    rounding = {
        Rounding.NONE: gettext("Each stay counts in whole minutes; a begun minute is left out."),
        Rounding.FIVE_MINUTES: gettext("Start and end of each stay are rounded to 5 minutes (29 CFR 785.48(b))."),
        Rounding.TENTH: gettext("Start and end of each stay are rounded to a tenth of an hour (29 CFR 785.48(b))."),
        Rounding.QUARTER: gettext("Start and end of each stay are rounded to a quarter of an hour (29 CFR 785.48(b))."),
    }[report.scope.grant.practice]
    return [
        gettext(
            "Hours come from sign-in and sign-out, corrections included, and count here because they are claimed for "
            "this grant alone. Minutes add up exactly; hours are minutes ÷ 60 with two decimals."
        ),
        rounding,
        gettext(
            "Value: the counted minutes of each line × the hourly value of its role on its date, rounded to hundredths "
            "line by line (2 CFR 200.306(e)). Each funder's own rules decide what counts."
        ),
        gettext(
            "Stems, loads and area are those of the whole work days on which hours count. Stems that were counted one "
            "by one have no interval; bundles have that of their sample; half-widths add in quadrature."
        ),
        gettext("Area is that of the zones with a tally, each once."),
        gettext("Safety: incidents written down on these days, by kind; whom they concern is in no report."),
        gettext(
            "Density: quadrat counts of the zones that both surveys counted, added up as strata (Freese 1962), ÷ their "
            "area. The ratio has 95 % limits on the log scale; the surveys are taken as independent."
        ),
        gettext("People are named by a code that stays the same in every report of the group.")
        if not report.scope.grant.names_required
        else gettext("The funder requires names; codes stay the same in every report of the group."),
    ]


def _hours(minutes: int) -> str:
    return number_format(Decimal(hours_text(minutes)), decimal_pos=2, force_grouping=True)
