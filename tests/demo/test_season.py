"""The loaded demo: one load for all of these tests, inside a transaction that is rolled back at the end."""

import datetime
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection, transaction

from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Assignment
from reedcrew.fieldbook.in_water import water_state
from reedcrew.fieldbook.models import Load, Tally
from reedcrew.fieldbook.queries import bags_in_sun, days_taking_entries
from reedcrew.grants.models import Approval, Claim, Grant, HourEntry
from reedcrew.grants.queries.days import days_to_approve
from reedcrew.grants.queries.progress import progress_of
from reedcrew.invites import outbox
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.languages import LANGUAGE_CODES
from reedcrew.people.models import Account, AuditEntry, Group, Member, PrivateRecord, Profile, Wish
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Role
from reedcrew.people.words import OWN_GEAR
from reedcrew.stands.models import Stand, Zone
from reedcrew.stands.queries import rates_of
from reedcrew.stands.work_records import latest_records
from reedcrew.stock.models import StockLine
from reedcrew.stock.queries import trade_stock
from reedcrew.trade.identification import Identification
from reedcrew.trade.items import Item
from reedcrew.web.mailfolder import names
from reedcrew.workdays.models import SignUp, WorkDay
from tests.demo.seasons import check_season, main_group, own_models, row_counts, upcoming

pytestmark = pytest.mark.django_db  # also when these run alone: it is by the mark that the database is made

TYPED_IN = ("people", "stands", "stock", "workdays", "fieldbook", "grants")  # where people fill in forms
DAY = datetime.timedelta(days=1)
NOW = datetime.datetime(2026, 8, 12, 15, 0, tzinfo=datetime.UTC)  # a Wednesday in the permitted weeks


def run(command: str, **options: Any) -> str:
    out = io.StringIO()
    call_command(command, stdout=out, **options)
    return out.getvalue()


@pytest.fixture(scope="module")
def loading(django_db_setup: None, django_db_blocker: Any) -> Iterator[str]:
    """What load_demo printed; the rows are there until the module ends."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield run("load_demo", at=NOW)
        transaction.set_rollback(True)


@pytest.fixture(autouse=True)
def loaded(loading: str) -> Iterator[None]:
    """Each test begins with the rows as they were loaded."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def volunteers() -> list[Profile]:
    members = Member.objects.filter(group=main_group(), role=Role.VOLUNTEER)
    return [member.profile for member in members.select_related("profile")]


# --- The load --------------------------------------------------------------------------------------------------------
def test_loading_says_what_it_made(loading):
    assert loading == (
        "Loaded “Friends of Quillet Bay” with 69 people and 7 closed work days, the next one on Sat 22 August 2026; "
        "and “Larkholm Pond Circle”, a second group.\n"
    )


def test_days_people_and_hours_agree():
    check_season(NOW)


def test_loading_again_adds_nothing():
    before = row_counts()
    assert run("load_demo", at=NOW) == "The database has a group already: nothing was loaded.\n"
    assert row_counts() == before


def test_a_moment_without_an_offset_is_refused():
    with pytest.raises(CommandError, match=r"--at"):
        call_command("load_demo", "--at=2026-08-12T15:00:00")


@pytest.mark.parametrize(
    "model",
    [model for model in own_models() if model._meta.app_label in TYPED_IN and model is not AuditEntry],
    ids=lambda model: model._meta.label,
)
def test_every_row_keeps_the_rules_of_its_model(model):
    for row in model._default_manager.all():
        row.full_clean()


def test_every_relation_leads_somewhere():
    connection.check_constraints()


# --- People ----------------------------------------------------------------------------------------------------------
def test_there_are_volunteers_of_all_kinds():
    profiles = volunteers()
    assert len(profiles) >= 60
    assert len(profiles) % 2 == 1
    minors = [profile for profile in profiles if not profile.adult_on(NOW.date())]
    assert len(minors) >= 5
    assert all(minor.member.guardian_id for minor in minors)
    statures = [profile.stature_cm for profile in profiles if profile.stature_cm and profile not in minors]
    assert min(statures) <= 155
    assert max(statures) >= 190
    assert any(profile.stature_cm is None for profile in profiles)
    assert any(not profile.languages for profile in profiles)
    languages = [set(profile.languages) for profile in profiles if profile.languages]
    assert any(one.isdisjoint(other) for one in languages for other in languages)
    assert set().union(*languages) >= {"en", "fr", "es", "pl"}
    assert set().union(*languages) <= LANGUAGE_CODES
    assert any(profile.own_gear for profile in profiles)
    assert {Item(item) for profile in profiles for item in profile.own_gear} <= set(OWN_GEAR)
    next_day = upcoming(main_group())[0].date
    certificates = [profile.first_aid_until for profile in profiles if profile.first_aid_until]
    assert min(certificates) < next_day < max(certificates)
    assert Member.objects.filter(group=main_group(), account=None, guardian=None).exists()
    assert set(Wish.objects.values_list("kind", flat=True)) == {"together", "apart"}


def test_every_role_is_there_and_both_leads_can_give_first_aid():
    roles = list(Member.objects.filter(group=main_group()).values_list("role", flat=True))
    assert (roles.count("organizer"), roles.count("coordinator"), roles.count("crew_lead")) == (1, 1, 2)
    for lead in Member.objects.filter(group=main_group(), role=Role.CREW_LEAD).with_profile():
        assert lead.trained_lead
        assert lead.profile.first_aider_on(upcoming(main_group())[0].date)


def test_addresses_and_numbers_are_of_the_ranges_kept_for_examples():
    """RFC 2606 keeps example.org and .example; 555-0100 to 555-0199 are kept for fiction."""
    addresses = {
        *Account.objects.values_list("email", flat=True),
        *Group.objects.values_list("contact_email", flat=True),
    }
    assert {address for address in addresses if not address.endswith(("@example.org", "@reedcrew.example"))} == set()
    numbers = [
        *Profile.objects.exclude(phone="").values_list("phone", flat=True),
        *(record.emergency_phone for record in PrivateRecord.objects.all() if record.emergency_phone),
    ]
    assert len(numbers) > 100
    assert [number for number in numbers if not re.fullmatch(r"555-01\d\d", number)] == []


def test_given_names_tell_people_apart():
    given = [member.given_name for member in Member.objects.filter(group=main_group())]
    assert len(given) == len(set(given))


def test_the_second_group_shares_an_account_and_nothing_else():
    other = Group.objects.exclude(pk=main_group().pk).get()
    shared = Account.objects.filter(memberships__group=main_group()).filter(memberships__group=other)
    assert [account.email for account in shared] == ["alistair.pennywell@example.org"]
    for sign_up in SignUp.objects.select_related("member", "day__stand__site"):
        assert sign_up.member.group_id == sign_up.day.stand.site.group_id


# --- Places and gear -------------------------------------------------------------------------------------------------
def test_stands_are_in_different_states_and_worked_ones_have_zones():
    stands = Stand.objects.of_group(main_group())
    assert stands.count() == 6
    assert set(stands.values_list("identification", flat=True)) == {each.value for each in Identification}
    worked = stands.open_to_work()
    assert {stand.year_of_treatment(2026) for stand in worked} == {2, 3, 4}
    for stand in worked:
        assert 2 <= stand.zones.count() <= 4
    for zone in Zone.objects.filter(stand__in=worked):
        assert zone.area_m2 is not None
        assert 100 < zone.area_m2 < 1000
        assert zone.outline is not None
    depths = {zone.depth_cm for zone in Zone.objects.filter(stand__name="Landing stand")}
    assert 0 in depths
    assert any(0 < depth <= 30 for depth in depths)
    assert any(depth > 60 for depth in depths)


def test_dry_land_stays_dry_whatever_the_gauge_says():
    zones = {zone.name: zone for zone in day_input(upcoming(main_group())[0], NOW).zones}
    bank = Zone.objects.get(stand__name="Landing stand", name="Bank")
    assert zones[str(bank.pk)].depth_cm == 0


def test_the_stock_has_gaps():
    stock = {(line.item, line.size): line.count for line in trade_stock(main_group())}
    assert StockLine.objects.filter(group=main_group(), item="chest waders", size="44").exists()
    assert (Item.CHEST_WADERS, "44") not in stock
    assert stock[Item.LIFE_JACKET, "youth"] < sum(profile.jacket_class == "youth" for profile in volunteers())


# --- Past days -------------------------------------------------------------------------------------------------------
def test_stems_were_counted_both_ways_and_one_entry_was_struck_out():
    tallies = Tally.objects.all()
    assert set(tallies.values_list("method", flat=True)) == {"counted", "bundles"}
    assert all(len(tally.sample) >= 2 for tally in tallies.filter(method="bundles"))
    assert tallies.exclude(struck_at=None).exists()


def test_the_crews_work_at_a_pace_that_people_have_and_no_day_repeats_another():
    """Starting rates are 100 stems an hour in water and 150 on land (convention); haulers count on land here."""
    group = main_group()
    rates = rates_of(group, policy_of(group))
    assert 40 < rates.in_water.stems_per_hour < 140
    assert 20 < rates.on_land.stems_per_hour < 150
    assert rates.in_water.days >= 5
    stems = [record.in_water.stems for record in latest_records(group)]
    assert len(set(stems)) == len(stems)


def test_some_hours_are_claimed_by_three_grants_and_one_is_corrected():
    assert Grant.objects.filter(group=main_group()).count() == 3
    assert set(Claim.objects.values_list("grant", flat=True)) == set(Grant.objects.values_list("pk", flat=True))
    correction = HourEntry.objects.exclude(corrects=None).select_related("corrects").get()
    assert correction.corrects is not None
    assert correction.minutes == correction.corrects.minutes - 45
    assert HourEntry.objects.standing().filter(claim=None).exists()


def test_grants_have_match_in_figures_and_the_latest_day_waits_for_approval():
    for grant in Grant.objects.select_related("group"):
        progress = progress_of(grant, NOW)
        assert progress.missing == []
        assert progress.claimed.value > 0
    assert set(HourEntry.objects.values_list("kind", flat=True)) == {"field", "travel", "preparation"}
    latest, *others = days_to_approve(main_group())
    assert latest.approved_at is None  # type: ignore[attr-defined]  # annotated by the query
    assert all(day.approved_at for day in others)  # type: ignore[attr-defined]  # as above
    assert Approval.objects.exclude(reopened_at=None).count() == 1


def test_bags_went_on_after_their_time_in_the_sun():
    bags = Load.objects.filter(kind=Load.Kind.BAGS)
    assert bags.filter(moved_on_at=None).count() < bags.count()
    assert not any(each.due and NOW - each.load.entered_at > 60 * DAY for each in bags_in_sun(main_group(), NOW))


def test_the_next_day_can_be_started_at_once_to_try_its_fieldbook():
    assert run("start_next_day", at=NOW).endswith("its fieldbook is open.\n")
    assert run("start_next_day", at=NOW + DAY / 12).endswith("its fieldbook is open.\n")  # nothing moves again
    day = upcoming(main_group())[0]
    assert day.starts_at == NOW + DAY / 24
    assert days_taking_entries(main_group(), NOW) == [day]
    ready = [unit for unit in water_state(day, NOW).ashore if not unit.fallen]
    assert len(ready) > 5


# --- The next day ----------------------------------------------------------------------------------------------------
def test_the_next_day_is_nearly_full_with_people_waiting():
    day = upcoming(main_group())[0]
    assert 30 <= day.sign_ups.confirmed().count() <= 40
    assert {sign_up.place for sign_up in day.sign_ups.waiting()} == set(SignUp.Place)
    assert day.sign_ups.filter(state=SignUp.State.WITHDRAWN).count() == 1
    assert any(volunteer.recent for volunteer in day_input(day, NOW).volunteers)


def test_invitations_to_the_next_day_wait_and_reach_the_mail_folder(settings, tmp_path: Path):
    settings.EMAIL_BACKEND, settings.MAIL_DIR = "reedcrew.web.mailfolder.FolderBackend", tmp_path
    waiting = OutgoingMail.objects.filter(state=OutgoingMail.State.WAITING)
    of_next = waiting.filter(sign_up__day=upcoming(main_group())[0]).count()
    assert of_next >= 40
    due = outbox.due_mails(NOW)
    assert len(due) == waiting.count()
    for mail in due:
        outbox.deliver(mail_pk=mail, now=NOW)
    assert len(names(tmp_path)) == len(due)
    assert not waiting.exists()


def test_the_next_day_is_planned_in_words():
    words = run("plan_next", at=NOW)
    day = upcoming(main_group())[0]
    assert words.startswith("Plan of “Reed morning at the landing”, Landing stand, Quillet Landing\nSat 22 August 2026")
    plan = day.plans.get(current=True)
    assert plan.status == "optimal"
    assert plan.assignments.count() == day.sign_ups.confirmed().count()
    units = plan.assignments.filter(kind=Assignment.Kind.UNIT).select_related("sign_up__member", "zone")
    assert units.count() >= 16
    for assignment in units:
        assert assignment.zone is not None
        assert f"\n{assignment.zone.name}, " in words
    for assignment in plan.assignments.exclude(kind=Assignment.Kind.NOT_PLACED).select_related("sign_up__member"):
        assert assignment.sign_up.member.given_name in words
    for heading in ("On shore:", "Signed up for the water and kept ashore:", "Short of gear:"):
        assert f"\n{heading}\n" in words


def test_without_a_posted_day_there_is_nothing_to_plan():
    WorkDay.objects.update(status=WorkDay.Status.CANCELLED)
    assert run("plan_next", at=NOW) == "No work day of the demo is posted: there is nothing to plan.\n"


# --- The accounts ----------------------------------------------------------------------------------------------------
def test_accounts_are_named_with_role_child_and_way_in():
    words = run("demo_accounts")
    assert "ottilie.brankworth@example.org: Ottilie Brankworth, organizer\n" in words
    assert "desmond.quayfield@example.org: Desmond Quayfield, coordinator\n" in words
    assert "rosalba.ingersund@example.org: Rosalba Ingersund, crew lead\n" in words
    assert "Maren Holtby, volunteer, with Ada Holtby and Finn Holtby in their care\n" in words
    assert words.endswith("the code that it asks for is found on the page /mail/.\n")


def test_with_a_mail_server_the_code_is_mailed(settings):
    settings.MAIL_PAGE = False
    assert run("demo_accounts").endswith("the code that it asks for is mailed there.\n")
