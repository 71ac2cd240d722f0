"""The pages of work days, through HTTP as people use them."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.trade.identification import Identification
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def group():
    return factories.make_group(name="Heron Bay reed group")


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER, name="Olive Rush")


@pytest.fixture
def stand(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return stand


@pytest.fixture
def summer(time_machine):
    """The site's clock stands in the week before the day of the factories."""
    time_machine.move_to(factories.NOW, tick=False)


def address(name, group, *args):
    return reverse(f"workdays:{name}", args=[group.slug, *args])


def form_of(stand, **changes):
    zone = stand.zones.get()
    return {
        "submission": "5b0e3a04-6f0b-4f0e-9d35-0d0f6f4c3f11",
        "title": "Morning at the reed",
        "starts_at_day": "2026-08-15",
        "starts_at_time": "09:00",
        "ends_at_day": "2026-08-15",
        "ends_at_time": "13:00",
        "zones": [zone.pk],
        "water_places": "12",
        "land_places": "6",
        **changes,
    }


def post_day(client, group, stand, **changes):
    return client.post(f"{address('post_day', group)}?stand={stand.pk}", form_of(stand, **changes))


# --- Posting ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["0", "x", "\u00b2", "9" * 5000])
def test_a_stand_that_is_not_there_is_not_found(client, group, organizer, stand, key):
    client.force_login(organizer.account)
    assert client.get(address("post_day", group), {"stand": key}).status_code == 404


def test_an_organizer_posts_a_day_in_the_sites_time(client, summer, group, organizer, stand):
    client.force_login(organizer.account)
    assert stand.name in client.get(address("post_day", group)).text
    form = client.get(f"{address('post_day', group)}?stand={stand.pk}").text
    assert "Needed only outside 15 July to 15 October" in form  # design, rule 1
    response = post_day(client, group, stand)
    day = WorkDay.objects.get()
    assert response.headers["Location"] == day.get_absolute_url()
    assert day.starts_at == datetime.datetime(2026, 8, 15, 13, tzinfo=datetime.UTC)
    assert "Morning at the reed" in client.get(day.get_absolute_url()).text


def test_a_form_that_arrives_twice_posts_one_day(client, summer, group, organizer, stand):
    client.force_login(organizer.account)
    addresses = {post_day(client, group, stand).headers["Location"] for _press in range(2)}
    assert len(addresses) == WorkDay.objects.count() == 1


@pytest.mark.parametrize("changes", [{"title": "Evening at the reed"}, {"water_places": "3"}, {"note": "Bring soup"}])
def test_another_day_under_the_same_form_is_not_taken_for_the_first(client, summer, group, organizer, stand, changes):
    client.force_login(organizer.account)
    post_day(client, group, stand)
    answer = post_day(client, group, stand, **changes)
    assert "with other words or figures, and those stand" in answer.text
    assert next(iter(changes.values())) in answer.text
    assert WorkDay.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ends_at_time": "08:00"}, "give an end later than the start"),
        ({"starts_at_day": "2026-08-01", "ends_at_day": "2026-08-01"}, "The day would start in the past"),
        (
            {"starts_at_day": "2026-11-07", "ends_at_day": "2026-11-07"},
            "7 November 2026 is outside the permitted weeks",
        ),
        ({"water_places": "-1"}, "0"),
        ({"water_places": "a few"}, "number"),
        ({"zones": []}, "Zones"),
        ({"title": ""}, "Title"),
        ({"starts_at_day": "31 of August"}, "day"),
    ],
)
def test_a_wrong_field_is_named_and_nothing_is_lost(client, summer, group, organizer, stand, changes, words):
    client.force_login(organizer.account)
    response = post_day(client, group, stand, what_to_bring="A hat and two sandwiches", **changes)
    assert response.status_code == 200
    assert words in response.text
    assert "A hat and two sandwiches" in response.text
    assert not WorkDay.objects.exists()


def test_a_time_that_the_clocks_skip_is_refused(client, group, organizer, time_machine):
    """Europe/Berlin skips 02:00 to 03:00 on 28 March 2027 (IANA time zone database)."""
    time_machine.move_to(datetime.datetime(2027, 3, 1, tzinfo=datetime.UTC), tick=False)
    stand = factories.make_stand(group, site=factories.make_site(group, time_zone="Europe/Berlin"))
    factories.make_zone(stand)
    client.force_login(organizer.account)
    response = post_day(client, group, stand, starts_at_day="2027-03-28", starts_at_time="02:30")
    assert "skip 02:30" in response.text


def test_a_protected_stand_takes_no_day(client, summer, group, organizer):
    native = factories.make_stand(group, identification=Identification.NATIVE.value)
    factories.make_zone(native)
    client.force_login(organizer.account)
    response = post_day(client, group, native)
    assert "not confirmed as the introduced subspecies" in response.text
    assert not WorkDay.objects.exists()


def test_a_stale_form_says_so_and_keeps_what_was_entered(client, summer, group, organizer, stand):
    day = factories.make_day(stand)
    client.force_login(organizer.account)
    edit = address("edit_day", group, day.pk)
    assert client.post(edit, form_of(stand, version="1", title="First")).status_code == 302
    response = client.post(edit, form_of(stand, version="1", title="Second", note="My long note"))
    assert "changed since you opened it" in response.text
    assert "My long note" in response.text
    day.refresh_from_db()
    assert day.title == "First"
    assert client.post(edit, form_of(stand, version="2", title="Second")).status_code == 302


def test_cancelling_asks_why(client, summer, group, organizer, stand):
    day = factories.make_day(stand)
    client.force_login(organizer.account)
    assert client.post(address("cancel_day", group, day.pk), {"reason": ""}).status_code == 200
    client.post(address("cancel_day", group, day.pk), {"reason": "Thunder"})
    day.refresh_from_db()
    assert day.status == "cancelled"
    client.logout()
    assert "This day is cancelled: Thunder" in client.get(day.get_public_url()).text


# --- Doors -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["day", "roster", "edit_day", "cancel_day"])
def test_a_day_of_another_group_is_as_absent(client, group, organizer, stand, name):
    client.force_login(organizer.account)
    foreign_stand = factories.make_stand(factories.make_group())
    foreign = factories.make_day(foreign_stand)
    own = factories.make_day(stand)
    assert client.get(address(name, group, own.pk)).status_code == 200
    assert client.get(address(name, group, foreign.pk)).status_code == 404
    assert client.get(address(name, foreign_stand.site.group, foreign.pk)).status_code == 404


@pytest.mark.parametrize(("name", "status"), [("day", 200), ("roster", 403), ("edit_day", 403), ("cancel_day", 403)])
def test_a_volunteer_sees_the_day_and_not_the_roster(client, group, stand, name, status):
    client.force_login(factories.make_member(group).account)
    day = factories.make_day(stand)
    assert client.get(address(name, group, day.pk)).status_code == status


def test_the_public_page_names_nobody(client, group, organizer, stand, summer):
    day = factories.make_day(stand, posted_by=organizer.account)
    member = factories.make_member(group, name="Quill Somebody")
    factories.make_sign_up(day, member)
    text = client.get(day.get_public_url()).text
    assert "1 of 10 places taken" in text
    for private in (member.name, member.account.email, organizer.name, organizer.account.email):
        assert private not in text


def test_an_unknown_public_address_is_absent(client):
    assert client.get(reverse("workdays:public", args=["nosuchcode"])).status_code == 404


# --- Signing up ------------------------------------------------------------------------------------------------------


def test_a_stranger_is_asked_on_the_page_of_the_day_and_may_sign_in_first(client, stand, summer):
    day = factories.make_day(stand)
    target = reverse("workdays:sign_up", args=[day.share_code])
    for address in (day.get_public_url(), target):
        page = client.get(address).text
        assert 'name="email"' in page
        assert f"{reverse('account_request_login_code')}?next={target}" in page


def test_a_newcomer_joins_with_a_name_and_a_place(client, group, stand, summer):
    day = factories.make_day(stand)
    account = factories.make_account()
    client.force_login(account)
    target = reverse("workdays:sign_up", args=[day.share_code])
    response = client.post(target, {"name": "Ada Marsh", "age": "adult", "place": "land"}, follow=True)
    assert "You have a place" in response.text
    sign_up = SignUp.objects.get()
    assert (sign_up.member.name, sign_up.member.group, sign_up.member.role) == ("Ada Marsh", group, "volunteer")


def test_a_minor_is_sent_to_the_guardian(client, stand, summer):
    day = factories.make_day(stand)
    client.force_login(factories.make_account())
    target = reverse("workdays:sign_up", args=[day.share_code])
    response = client.post(target, {"name": "Tim Marsh", "age": "minor", "place": "water"})
    assert "signed up by their guardian" in response.text
    assert not SignUp.objects.exists()


def test_a_guardian_signs_up_a_child_or_neither(client, group, stand, summer):
    day = factories.make_day(stand)
    guardian = factories.make_member(group)
    child = factories.make_child(guardian)
    client.force_login(guardian.account)
    target = reverse("workdays:sign_up", args=[day.share_code])
    alone = client.post(target, {f"place_{guardian.pk}": "", f"place_{child.pk}": "land"})
    assert "sign up the guardian for this day too" in alone.text
    assert not SignUp.objects.exists()
    both = client.post(target, {f"place_{guardian.pk}": "water", f"place_{child.pk}": "land"}, follow=True)
    assert "2 places are yours" in both.text


def test_a_full_day_offers_the_waiting_list(client, group, stand, summer):
    day = factories.make_day(stand, water_places=1)
    factories.make_sign_up(day, factories.make_member(group), number=1)
    member = factories.make_member(group)
    client.force_login(member.account)
    target = reverse("workdays:sign_up", args=[day.share_code])
    assert client.get(target).text.count("full now: you go on the waiting list") == 1  # there is room on land
    assert "All places are taken now" not in client.get(day.get_public_url()).text
    response = client.post(target, {f"place_{member.pk}": "water"}, follow=True)
    assert "you are on the waiting list" in response.text


def test_the_public_page_says_before_the_sign_up_that_all_places_are_taken(client, group, stand, summer):
    day = factories.make_day(stand, water_places=1, land_places=0)
    factories.make_sign_up(day, factories.make_member(group))
    assert "All places are taken now: you would go on the waiting list." in client.get(day.get_public_url()).text


def test_withdrawing_needs_a_post_and_ones_own_sign_up(client, group, stand, summer):
    day = factories.make_day(stand)
    mine, other = (factories.make_sign_up(day, factories.make_member(group)) for _i in range(2))
    client.force_login(mine.member.account)
    target = reverse("workdays:withdraw", args=[day.share_code, mine.pk])
    assert client.get(target).status_code == 405
    assert client.post(reverse("workdays:withdraw", args=[day.share_code, other.pk])).status_code == 404
    assert f"{mine.member.name} is withdrawn from this day" in client.post(target, follow=True).text
    mine.refresh_from_db()
    assert mine.state == "withdrawn"


def test_an_organizer_takes_somebody_off_the_roster(client, group, organizer, stand, summer):
    sign_up = factories.make_sign_up(factories.make_day(stand), factories.make_member(group))
    client.force_login(organizer.account)
    client.post(address("withdraw_other", group, sign_up.day_id, sign_up.pk))
    sign_up.refresh_from_db()
    assert sign_up.state == "withdrawn"


# --- Lists -----------------------------------------------------------------------------------------------------------


def test_lists_take_as_many_queries_at_300_rows_as_at_20(client, group, organizer, stand, summer, count_queries):
    client.force_login(organizer.account)
    day = factories.make_day(stand)
    for _i in range(20):
        factories.make_sign_up(day, factories.make_member(group))
        factories.make_day(stand)
    addresses = [address("days", group), address("roster", group, day.pk), day.get_absolute_url(), day.get_public_url()]
    client.get(addresses[0])  # the first request of a session also notes the session
    few = [count_queries(lambda page=page: client.get(page)) for page in addresses]
    for _i in range(280):
        factories.make_sign_up(day, factories.make_member(group))
        factories.make_day(stand)
    assert [count_queries(lambda page=page: client.get(page)) for page in addresses] == few


# --- Start pages -----------------------------------------------------------------------------------------------------


def test_somebody_who_chose_water_is_told_what_is_missing(client, group, stand, summer):
    day = factories.make_day(stand)
    newcomer = factories.make_member(group)
    factories.make_sign_up(day, newcomer)
    client.force_login(newcomer.account)
    text = client.get(day.get_public_url()).text
    for words in ("these answers are missing", "Boot size", "Body mass", "Height"):
        assert words in text
    ready = factories.make_water_member(group)
    factories.make_sign_up(day, ready)
    client.force_login(ready.account)
    assert "these answers are missing" not in client.get(day.get_public_url()).text


def test_the_first_page_tells_ones_next_days_in_every_group(client, group, stand, summer):
    member = factories.make_member(group)
    child = factories.make_child(member, name="Tim Marsh")
    day = factories.make_day(stand, title="Reed at the mill")
    for who in (member, child):
        factories.make_sign_up(day, who, place="land")
    client.force_login(member.account)
    text = client.get(reverse("people:home")).text
    assert "My next days" in text
    assert "Reed at the mill" in text
    assert "Tim Marsh" in text


def test_the_groups_page_tells_its_next_days(client, group, organizer, stand, summer):
    factories.make_day(stand, title="Reed at the mill")
    client.force_login(organizer.account)
    assert "Reed at the mill" in client.get(group.get_absolute_url()).text


def test_a_stand_that_turns_out_native_stops_its_posted_days(client, stand, summer):
    day = factories.make_day(stand)
    assert "Do not cut it" not in client.get(day.get_public_url()).text
    type(stand).objects.filter(pk=stand.pk).update(identification=Identification.NATIVE.value)
    assert "Do not cut it" in client.get(day.get_public_url()).text
