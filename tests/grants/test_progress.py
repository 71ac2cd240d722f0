"""Progress toward a match: every figure can be followed with a calculator."""

import datetime
from decimal import Decimal

import pytest

from reedcrew.grants import services
from reedcrew.grants.queries.progress import lacks_of, next_report, progress_of
from reedcrew.people.roles import Role as GroupRole
from reedcrew.trade.valuation import Activity, Role, Rounding
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import END, NOW, START
from tests.grants.days import HOUR, make_closed, make_grant, make_line

pytestmark = pytest.mark.django_db

WEEK = datetime.timedelta(days=7)


@pytest.fixture
def coordinator(group):
    return factories.account_of(factories.make_member(group, role=GroupRole.COORDINATOR))


@pytest.fixture
def stand(group):
    return factories.make_stand(group)


def make_rate(group, actor, hourly="15.84", role=Role.CREW, since=datetime.date(2026, 1, 1), **facts):
    said = services.RateFacts(
        **{
            "role": role,
            "since": since,
            "hourly": Decimal(hourly),
            "currency": "USD",
            "source": "Wage table",
            "source_date": datetime.date(2026, 1, 1),
            **facts,
        }
    )
    return services.record_rate(group=group, facts=said, actor=actor, now=NOW)


def post_day(stand, *, water, land, starts_at=START + WEEK, hours=4):
    day = factories.make_day(
        stand, date=starts_at.date(), starts_at=starts_at, ends_at=starts_at + hours * HOUR, zones=[]
    )
    for place, number in ((SignUp.Place.WATER, water), (SignUp.Place.LAND, land)):
        for _person in range(number):
            factories.make_sign_up(day, factories.make_member(stand.site.group), place=place)
    return day


def test_claimed_unclaimed_and_forecast_add_up_to_what_is_expected(group, stand, coordinator):
    """2 people × 4 h × 15.84 = 126.72 claimed; 1 × 2 h × 15.84 = 31.68 unclaimed. Of 4 confirmed on the closed day 3
    came; 4 confirmed people × 4 h × 0.75 = 12 h × 15.84 = 190.08 may come."""
    make_rate(group, coordinator)
    closed = make_closed(stand, members=[factories.make_member(group) for _person in range(2)])
    for outcome in ("water", "water", "land", "absent"):
        factories.make_sign_up(closed, factories.make_member(group), outcome=outcome)
    grant = make_grant(group, stand, match_target=Decimal(300))
    services.claim_eligible(grant=grant, actor=coordinator, now=END)
    make_closed(stand, minutes=120)
    post_day(stand, water=3, land=1)
    post_day(stand, water=2, land=0, starts_at=datetime.datetime(2027, 4, 2, 13, tzinfo=datetime.UTC))  # too late
    found = progress_of(grant, END)
    assert (found.claimed.value, found.claimed.minutes) == (Decimal("126.72"), 480)
    assert (found.unclaimed.value, found.unclaimed.entries) == (Decimal("31.68"), 1)
    forecast = found.forecast
    assert (forecast.days, forecast.people, forecast.share, forecast.minutes) == (1, 4, Decimal("0.75"), 720)
    assert forecast.value == Decimal("190.08")
    assert (found.expected, found.open) == (Decimal("348.48"), Decimal("173.28"))
    assert found.is_expected_to_suffice


def test_a_grant_that_counts_work_on_land_alone_foresees_those_on_land(group, stand):
    post_day(stand, water=3, land=1)
    found = progress_of(make_grant(group, stand, activities=[Activity.LAND]), NOW).forecast
    assert (found.people, found.share, found.minutes) == (1, None, 240)


def test_a_missing_rate_is_named_with_role_date_and_form_and_adds_nothing(group, stand, coordinator):
    make_rate(group, coordinator)
    make_rate(group, coordinator, role=Role.LEAD, currency="CAD")
    day = make_closed(stand)
    make_line(day, factories.make_member(group), role="lead")
    grant = make_grant(group, stand)
    services.claim_eligible(grant=grant, actor=coordinator, now=END)
    found = progress_of(grant, END)
    assert (found.claimed.value, found.claimed.unvalued_minutes) == (Decimal("63.36"), 240)
    (missing,) = found.missing
    assert (missing.role, missing.date, missing.currency) == ("lead", datetime.date(2026, 8, 15), "USD")
    assert missing.where.endswith("/hours/values/new/?role=lead&since=2026-08-15&currency=USD")


def test_starts_and_ends_are_rounded_by_the_grant_s_practice(group, stand, coordinator):
    """09:07 to 13:08 at the site: 4.25 h by quarters × 15.84 = 67.32, where 241 raw minutes are 63.62."""
    make_rate(group, coordinator)
    day = make_closed(stand)
    make_line(day, factories.make_member(group), started_at=START + datetime.timedelta(minutes=7), minutes=241)
    for practice, value in ((Rounding.QUARTER, "130.68"), (Rounding.NONE, "126.98")):
        grant = make_grant(group, stand, name=practice, rounding=practice)
        assert progress_of(grant, END).unclaimed.value == Decimal(value)


def test_a_report_says_what_it_still_lacks(group, stand, coordinator):
    grant = make_grant(group, stand)
    assert next_report(grant) is None
    closed = make_closed(stand)
    post_day(stand, water=1, land=0, starts_at=START - WEEK)  # over, and not closed
    for due in (datetime.date(2026, 12, 31), datetime.date(2026, 9, 30)):
        services.add_reporting_date(
            grant=grant, due_on=due, covers_to=datetime.date(2026, 8, 31), actor=coordinator, now=NOW
        )
    report = next_report(grant)
    assert report.due_on == datetime.date(2026, 9, 30)

    def lacks():
        return [lack.code for lack in lacks_of(grant, report, progress_of(grant, END), END)]

    assert lacks() == ["day_not_closed", "not_approved", "unclaimed", "rate_missing"]
    services.approve_day(day=closed, actor=coordinator, now=END)
    services.claim_eligible(grant=grant, actor=coordinator, now=END)
    make_rate(group, coordinator)
    assert lacks() == ["day_not_closed"]
    grant.kinds = ["travel"]
    assert lacks() == ["day_not_closed", "outside"]
    services.mark_report_sent(date=report, actor=coordinator, now=END)
    assert next_report(grant).due_on == datetime.date(2026, 12, 31)
    services.take_back_report_sent(date=report, actor=coordinator, now=END)
    assert next_report(grant).due_on == datetime.date(2026, 9, 30)


def test_the_number_of_queries_does_not_grow_with_days_and_hours(group, stand, coordinator, count_queries):
    grant = make_grant(group, stand)
    member = factories.make_member(group)

    def look():
        return count_queries(lambda: progress_of(grant, END))

    make_closed(stand, members=[member])
    post_day(stand, water=1, land=0)
    few = look()
    for _day in range(10):
        make_closed(stand, members=[member])
        post_day(stand, water=1, land=0)
    assert look() == few
