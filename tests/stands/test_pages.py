"""Who may open which page of sites and stands; the list of stands."""

import pytest

from reedcrew.people.roles import Role
from reedcrew.trade.identification import Identification
from tests.factories import (
    make_gauge,
    make_group,
    make_member,
    make_notice,
    make_site,
    make_stand,
    make_zone,
)
from tests.stands.pages import queries_of, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def every_page(group, stand, zone):
    """Each address of the app with the roles that may open it."""
    site = stand.site
    notice = make_notice(site)
    everyone, organizers = set(Role), {Role.ORGANIZER}
    return [
        (url("stands", group), everyone),
        (url("stand", group, stand.pk), everyone),
        (url("site", group, site.pk), everyone),
        (url("record_site", group), organizers),
        (url("change_site", group, site.pk), organizers),
        (url("record_stand", group, site.pk), organizers),
        (url("record_water_level", group, site.pk), organizers),
        (url("levels", group, site.pk), everyone),
        (url("record_levels", group, site.pk), organizers),
        (url("record_gauge", group, site.pk), organizers),
        (url("change_gauge", group, site.pk, make_gauge(site).pk), organizers),
        (url("calendar", group, site.pk), everyone),
        (url("notices", group, site.pk), everyone),
        (url("record_notice", group, site.pk), organizers),
        (url("change_notice", group, site.pk, notice.pk), organizers),
        (url("end_notice", group, site.pk, notice.pk), organizers),
        (url("change_stand", group, stand.pk), organizers),
        (url("record_check", group, stand.pk), everyone),
        (url("checks", group, stand.pk), everyone),
        (url("characters", group), everyone),
        (url("decide_identification", group, stand.pk), organizers),
        (url("record_zone", group, stand.pk), organizers),
        (url("change_zone", group, stand.pk, zone.pk), organizers),
        (url("remove_zone", group, stand.pk, zone.pk), organizers),
    ]


@pytest.mark.parametrize("role", list(Role))
def test_each_page_opens_to_its_roles_only(client, group, role):
    stand = make_stand(group)
    pages = every_page(group, stand, make_zone(stand))
    client.force_login(make_member(group, role=role).account)
    found = {address: client.get(address).status_code for address, _roles in pages}
    assert found == {address: 200 if role in roles else 403 for address, roles in pages}


def test_another_group_s_pages_are_not_there(client, group):
    stand = make_stand(group)
    pages = every_page(group, stand, make_zone(stand))
    own = make_group()
    client.force_login(make_member(own, role=Role.ORGANIZER).account)
    assert {client.get(address).status_code for address, _roles in pages} == {404}
    through_own = [address.replace(f"/g/{group.slug}/", f"/g/{own.slug}/") for address, _roles in pages]
    reachable = {url("stands", own), url("record_site", own), url("characters", own)}
    assert {client.get(address).status_code for address in through_own if address not in reachable} == {404}
    assert {client.post(address).status_code for address in through_own if address not in reachable} <= {404, 405}


def test_signed_out_people_are_asked_to_sign_in(client, group):
    address = url("stands", group)
    response = client.get(address)
    assert response.status_code == 302
    assert response.headers["Location"].endswith(f"?next={address}")


def test_the_list_begins_with_words_that_say_what_to_do_first(organizer, group):
    assert "No site is recorded yet" in text_of(organizer.get(url("stands", group)))


def test_the_list_shows_what_each_stand_is(volunteer, group):
    make_stand(group, name="North bay", first_cut_year=2025)
    make_stand(group, name="Old fen", identification=Identification.NATIVE.value)
    shown = text_of(volunteer.get(url("stands", group)))
    for words in ("North bay", "introduced", "Old fen", "native", "permitted, with caution", "Sites"):
        assert words in shown
    assert "Add a site" not in shown


def test_stands_of_other_groups_are_not_listed(volunteer, group):
    make_stand(make_group(), name="Foreign bay")
    assert "Foreign bay" not in text_of(volunteer.get(url("stands", group)))


def test_the_list_takes_as_many_queries_for_300_stands_as_for_20(volunteer, group):
    def fill(count):
        for _number in range(count):
            make_zone(make_stand(group, site=make_site(group)))

    address = url("stands", group)
    fill(20)
    few = queries_of(volunteer, address)
    fill(280)
    assert queries_of(volunteer, address) == few
    assert queries_of(volunteer, address, page=12, sites=2) == few
    response = volunteer.get(address, {"page": 12, "sites": 2})
    assert (response.context["page"].number, response.context["sites"].number) == (12, 2)


@pytest.mark.parametrize("page", ["0", "x", "9999"])
def test_a_page_number_that_is_none_shows_some_page(volunteer, group, page):
    make_stand(group)
    assert volunteer.get(url("stands", group), {"page": page, "sites": page}).status_code == 200


def test_the_menu_leads_to_the_stands(volunteer, group):
    assert f'href="{url("stands", group)}"' in volunteer.get(url("stands", group)).content.decode()
