"""The one list of what needs somebody: what stands on it, for whom, in which order, at which cost."""

import datetime

import pytest
import time_machine
from django.urls import reverse
from django.utils.translation import override

from reedcrew.crews.services.planning import make_plan
from reedcrew.fieldbook.models import Load
from reedcrew.grants.models import Grant, ReportingDate
from reedcrew.people.models import Member
from reedcrew.people.needs import waiting_for
from reedcrew.people.roles import Role
from reedcrew.stands.models import Stand
from reedcrew.trade.attention import Band, Matter
from reedcrew.trade.items import Item
from reedcrew.workdays.models import DayMark, SignUp, WorkDay
from tests import factories
from tests.factories import END, NOW, START, account_of

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER)


def stand_with_zone(group, **fields):
    stand = factories.make_stand(group, **fields)
    factories.make_survey(stand, {factories.make_zone(stand): [20, 30, 40]}, surveyed_on=NOW.date() - DAY)
    return stand


def needs(*members, now=NOW):
    found = Member.objects.filter(pk__in=[member.pk for member in members]).select_related("group")
    return {each.need.matter: each for each in waiting_for(list(found), now)}


def test_a_quiet_group_has_nothing_on_its_list_and_reads_what_would_stand_there(client, group, organizer):
    assert needs(organizer) == {}
    factories.make_closed_day(stand_with_zone(group), NOW.date() - 30 * DAY, tallies={})
    client.force_login(account_of(organizer))
    for address in ("/", group.get_absolute_url()):
        assert "the most urgent" in client.get(address).text


def test_a_day_next_week_names_what_it_lacks_with_its_date_and_the_page_that_mends_it(group, organizer):
    stand = stand_with_zone(group)
    day = factories.make_day(stand, title="Early cut")
    for name in ("Ada", "Bo", "Cy", "Di", "Eli"):
        factories.make_sign_up(day, factories.make_water_member(group, name=name, profile={"stature_cm": None}))
    make_plan(day=day, actor=None, now=NOW)
    found = needs(organizer)
    assert set(found) == {Matter.FIRST_AIDER, Matter.CONTACTS, Matter.GEAR_SHORT, Matter.PLAN_OPEN, Matter.ANSWERS}
    for each in found.values():
        assert (each.need.by, each.need.about, each.is_late, each.band) == (START.date(), "Early cut", False, Band.SOON)
    assert found[Matter.ANSWERS].need.words.endswith("Ada, Bo, Cy and 2 more.")
    assert found[Matter.FIRST_AIDER].need.url == reverse("workdays:roster", args=[group.slug, day.pk])
    assert next(iter(found)) is Matter.FIRST_AIDER


def test_spotters_who_stay_away_and_zones_that_water_closes_are_named(group, organizer):
    stand = stand_with_zone(group)
    swift = factories.make_zone(stand, name="Swift edge", depth_cm=90, current_m_s=2)
    day = factories.make_day(stand, zones=[*stand.zones.all()])
    for number in range(2):
        factories.make_sign_up(day, factories.make_water_member(group, name=f"Wader {number}"))
    factories.make_stock(group, Item.CHEST_WADERS, 4, size="43")
    factories.make_stock(group, Item.LIFE_JACKET, 4, size="adult")
    shore = [
        factories.make_member(group, profile={"first_aid_until": END.date()}),
        factories.make_member(group),
    ]
    for each in shore:
        factories.make_sign_up(day, each, place="land")
    make_plan(day=day, actor=None, now=NOW)
    assert swift.name in needs(organizer)[Matter.ZONE_CLOSED].need.words
    with override("fr"):
        assert "1,8 m²/s" in needs(organizer)[Matter.ZONE_CLOSED].need.words  # in numbers as French writes them
    assert Matter.SPOTTERS not in needs(organizer)
    SignUp.objects.filter(member=shore[1]).update(outcome=SignUp.Outcome.ABSENT)
    SignUp.objects.filter(member=shore[0]).update(outcome=SignUp.Outcome.ABSENT)
    assert "1 person who watches" in needs(organizer)[Matter.SPOTTERS].need.words


def test_a_plan_that_people_were_told_and_that_stands_no_longer_is_named(group, organizer):
    day = factories.make_day(stand_with_zone(group))
    sign_up = factories.make_sign_up(day, factories.make_water_member(group))
    plan = make_plan(day=day, actor=None, now=NOW)
    plan.told, plan.accepted_at, plan.accepted_by = True, NOW, account_of(organizer)
    plan.save()
    assert Matter.TOLD_FALLEN not in needs(organizer)
    sign_up.assignments.update(fallen=[{"code": "H10.no_first_aider", "values": {}}])
    assert needs(organizer)[Matter.TOLD_FALLEN].need.words == "What people were told does not stand any more."


def test_a_posted_day_on_a_stand_that_may_not_be_cut_goes_before_everything(group, organizer):
    stand = stand_with_zone(group)
    factories.make_day(stand)
    Stand.objects.update(identification="native")
    found = needs(organizer)
    assert next(iter(found)) is Matter.PROTECTED_STAND
    assert found[Matter.PROTECTED_STAND].band is Band.NOW


def test_what_days_leave_behind_stands_there_until_it_is_done(group, organizer):
    stand = stand_with_zone(group)
    day = factories.make_day(stand)
    entered = {"day": day, "entered_by": account_of(organizer), "entered_at": NOW}
    sun_until = END.date() + 14 * DAY
    load = Load.objects.create(kind=Load.Kind.BAGS, count=6, place="South bank", sun_until=sun_until, **entered)
    found = needs(organizer, now=END + DAY)
    assert found[Matter.DAY_NOT_CLOSED].is_late
    assert Matter.BAGS not in found
    WorkDay.objects.update(status=WorkDay.Status.CLOSED)
    found = needs(organizer, now=END + 14 * DAY)
    assert found[Matter.BAGS].need.words == "6 bags have had their time in the sun and can go on."
    assert Matter.DAY_NOT_CLOSED not in found
    load.moved_on_at, load.moved_on_by = END, account_of(organizer)
    load.save()
    assert Matter.BAGS not in needs(organizer, now=END + 14 * DAY)


def test_checks_without_a_decision_and_a_season_without_a_survey_ask_for_one(group, organizer):
    undecided = factories.make_stand(group, identification="unchecked")
    factories.make_check(undecided)
    unsurveyed = factories.make_stand(group, name="Far edge")
    factories.make_zone(unsurveyed)
    factories.make_day(unsurveyed)
    found = needs(organizer)
    assert found[Matter.IDENTIFICATION].need.about == undecided.name
    assert (found[Matter.SURVEY].need.about, found[Matter.SURVEY].need.by) == ("Far edge", START.date())


def test_a_report_is_named_in_the_month_before_it_is_due(group, organizer):
    period = {"starts_on": NOW.date(), "ends_on": END.date()}
    grant = Grant.objects.create(group=group, name="Shore fund", funder="Trust", **period)
    report = ReportingDate.objects.create(grant=grant, due_on=NOW.date() + 31 * DAY, covers_to=END.date())
    assert Matter.REPORT not in needs(organizer)
    assert needs(organizer, now=NOW + DAY)[Matter.REPORT].need.by == report.due_on


def test_each_role_reads_what_it_may_decide_and_volunteers_read_no_list(client, group):
    stand = stand_with_zone(group)
    day = factories.make_day(stand)
    DayMark.objects.create(day=day, code=DayMark.Code.WATER, since=NOW, changed_at=NOW)
    WorkDay.objects.create(
        stand=stand,
        title="Long over",
        date=START.date() - 7 * DAY,
        starts_at=START - 7 * DAY,
        ends_at=END - 7 * DAY,
        water_places=1,
        land_places=1,
        posted_by=day.posted_by,
        posted_at=NOW,
    )
    read = {role: set(needs(factories.make_member(group, role=role))) for role in Role}
    assert read[Role.VOLUNTEER] == set()
    assert read[Role.COORDINATOR] == set()
    assert read[Role.CREW_LEAD] == {Matter.DAY_NOT_CLOSED, Matter.FIRST_AIDER}
    assert read[Role.ORGANIZER] == {Matter.DAY_NOT_CLOSED, Matter.FIRST_AIDER, Matter.DAY_MOVED}
    client.force_login(factories.make_member(group).account)
    assert "What needs you" not in client.get("/").text


def test_the_list_takes_as_many_queries_for_many_days_people_and_groups_as_for_one(count_queries):
    account = factories.make_account()

    def fill(groups, days, people):
        for _group in range(groups):
            group = factories.make_group()
            factories.make_member(group, account=account, role=Role.ORGANIZER)
            stand = factories.make_stand(group)
            factories.make_zone(stand)
            factories.make_check(factories.make_stand(group, identification="unchecked"))
            for number in range(days):
                start = START + number * DAY
                day = factories.make_day(stand, starts_at=start, ends_at=start + (END - START), date=start.date())
                DayMark.objects.create(day=day, code=DayMark.Code.WATER, since=NOW, changed_at=NOW)
                for _person in range(people):
                    factories.make_sign_up(day, factories.make_water_member(group))
            make_plan(day=day, actor=None, now=NOW)

    def members():
        return list(Member.objects.of_account(account).select_related("group"))

    fill(groups=1, days=1, people=2)
    few = count_queries(lambda: waiting_for(members(), NOW))
    fill(groups=2, days=4, people=3)
    assert count_queries(lambda: waiting_for(members(), NOW)) == few


def test_the_first_page_shows_the_group_only_where_there_are_several(client, group, organizer):
    factories.make_day(stand_with_zone(group))
    client.force_login(account_of(organizer))
    with time_machine.travel(NOW, tick=False):
        assert client.get("/").text.count(group.name) == 2  # in the list of groups
        factories.make_member(factories.make_group(), account=account_of(organizer), role=Role.CREW_LEAD)
        assert client.get("/").text.count(group.name) > 2


def test_the_first_page_shows_the_most_urgent_and_leads_to_the_whole_list_of_each_group(client, group, organizer):
    other = factories.make_member(factories.make_group(), account=account_of(organizer), role=Role.ORGANIZER).group
    for each, days in ((group, 3), (other, 1)):
        stand = stand_with_zone(each)
        for number in range(days):
            factories.make_day(stand, starts_at=START + number * DAY, ends_at=END + number * DAY)
    client.force_login(account_of(organizer))
    with time_machine.travel(NOW, tick=False):
        first, whole = client.get("/"), client.get(group.get_absolute_url())
    assert len(first.context["most_urgent"]) == first.text.count('class="need"') == 3
    numbers = {each.group: each.number for each in first.context["lists"]}
    assert whole.text.count('class="need"') == numbers[group] >= 3
    assert sum(numbers.values()) == len(first.context["waiting"])
    for address in (group.get_absolute_url(), other.get_absolute_url()):
        assert f'href="{address}#needs"' in first.text
