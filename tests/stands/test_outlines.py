"""Outlines of stands and sites, and how those of zones lie to them."""

import json
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services
from reedcrew.stands.errors import ChangedMeanwhile, DrawnOutside
from reedcrew.stands.forms import OutlineField
from reedcrew.stands.models import Stand, Zone
from reedcrew.trade.outline import Outline, read_outline
from tests.factories import NOW, make_account, make_group, make_site, make_stand, make_zone
from tests.stands.pages import SQUARE, form_data, text_of, url, zone_data

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]

CORNERS = "44.25, -76.5\n44.25, -76.499\n44.251, -76.499\n44.251, -76.5"
AWAY = "44.26, -76.5\n44.26, -76.499\n44.261, -76.499\n44.261, -76.5"
HALF_AWAY = "44.2505, -76.5\n44.2505, -76.499\n44.2515, -76.499\n44.2515, -76.5"


def outline(text=CORNERS) -> Outline:
    return read_outline(text, site=(-76.5, 44.25))


def draw(row, text=CORNERS, version=1):
    drawn = outline(text) if text else None
    return services.draw_outline(row=row, version=version, outline=drawn, actor=make_account(), now=NOW)


# --- Services ------------------------------------------------------------------------------------------------------


def test_a_stand_and_a_site_get_an_outline_with_its_area_and_an_entry_of_the_deed():
    group = make_group()
    stand = draw(make_stand(group))
    site = draw(make_site(group))
    for row in (stand, site):
        row.refresh_from_db()
        assert (row.outline, row.version) == (SQUARE, 2)
        assert float(row.area_m2) == pytest.approx(outline().area_m2, abs=0.05)
    assert set(AuditEntry.objects.values_list("deed", flat=True)) == {"stand outlined", "site outlined"}
    assert draw(stand, text="", version=2).area_m2 is None


def test_an_outline_drawn_twice_is_saved_once_and_an_old_version_is_refused():
    stand = make_stand(make_group())
    draw(stand)
    draw(stand)
    stand.refresh_from_db()
    assert stand.version == 2
    with pytest.raises(ChangedMeanwhile):
        draw(stand, text=AWAY, version=1)


def test_a_stand_is_not_drawn_away_from_its_zones():
    stand = make_stand(make_group())
    make_zone(stand, name="Edge", outline=SQUARE)
    with pytest.raises(DrawnOutside, match="Edge"):
        draw(stand, text=AWAY)
    stand.refresh_from_db()
    assert (stand.outline, stand.version) == (None, 1)
    draw(stand, text=HALF_AWAY)  # partly outside is told on the map, and no more


@pytest.mark.parametrize(("text", "refused"), [(AWAY, True), (HALF_AWAY, False), ("", False)])
def test_a_zone_wholly_outside_its_stand_is_refused(text, refused):
    stand = make_stand(make_group(), outline=SQUARE)
    values: dict[str, Any] = {"name": "Edge", "depth_cm": 40, "surveyed_on": NOW.date(), "actor": make_account()}
    drawn = outline(text) if text else None
    if refused:
        with pytest.raises(DrawnOutside):
            services.record_zone(stand=stand, outline=drawn, now=NOW, **values)
        assert not Zone.objects.exists()
        return
    zone = services.record_zone(stand=stand, outline=drawn, now=NOW, **values)
    with pytest.raises(DrawnOutside):
        services.change_zone(zone=zone, version=1, outline=outline(AWAY), actor=make_account(), now=NOW)


# --- The field -----------------------------------------------------------------------------------------------------


def field() -> OutlineField:
    made = OutlineField()
    made.place(make_site(make_group()), live={})
    return made


def test_a_stored_outline_is_shown_as_corners_or_as_geojson_where_corners_cannot_say_it():
    two = {"type": "MultiPolygon", "coordinates": [SQUARE["coordinates"], SQUARE["coordinates"]]}
    assert field().prepare_value(SQUARE).splitlines()[0] == "44.250000, -76.500000"
    assert json.loads(field().prepare_value(two)) == two
    assert field().prepare_value("as entered") == "as entered"


@pytest.mark.parametrize(
    ("initial", "data", "changed"),
    [
        (SQUARE, CORNERS, False),
        (SQUARE, json.dumps(SQUARE), False),
        (SQUARE, "", True),
        (SQUARE, AWAY, True),
        (SQUARE, "no corner", True),
        (None, "", False),
        (None, CORNERS, True),
    ],
)
def test_the_same_outline_written_another_way_is_no_change(initial, data, changed):
    assert field().has_changed(initial, data) is changed


def test_a_field_without_a_place_is_a_mistake_of_ours():
    with pytest.raises(TypeError):
        OutlineField().clean(CORNERS)
    with pytest.raises(ValidationError):
        field().clean("no corner")


# --- Pages ---------------------------------------------------------------------------------------------------------


def test_a_stand_is_outlined_with_corners_and_no_script(organizer, group):
    stand = make_stand(group, name="North bay")
    address = url("draw_stand", group, stand.pk)
    response = organizer.post(address, form_data(organizer.get(address), outline=CORNERS), follow=True)
    assert "The outline of “North bay” is saved." in text_of(response)
    stand.refresh_from_db()
    assert stand.outline == SQUARE
    assert organizer.get(address).context["form"]["outline"].value().startswith("44.250000, -76.500000\n")


def test_a_site_gets_a_boundary(organizer, group):
    site = make_site(group)
    address = url("draw_site", group, site.pk)
    organizer.post(address, form_data(organizer.get(address), outline=json.dumps(SQUARE)))
    site.refresh_from_db()
    assert site.outline == SQUARE


@pytest.mark.parametrize(
    ("entered", "words"),
    [
        ("44.25, -76.5\n44.251, -76.499\n44.25, -76.499\n44.251, -76.5", "crosses or touches itself"),
        ("-76.5, 44.25\n-76.499, 44.25\n-76.499, 44.251", "latitude comes first"),
        ("44.25, -76.5", "at least 3"),
        (AWAY, "wholly outside"),
        ("somewhere", "neither GeoJSON nor a list of corners"),
    ],
)
def test_what_is_wrong_is_said_at_the_field_and_nothing_entered_is_lost(organizer, group, entered, words):
    stand = make_stand(group)
    make_zone(stand, outline=SQUARE)
    address = url("draw_stand", group, stand.pk)
    response = organizer.post(address, form_data(organizer.get(address), outline=entered))
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors["outline"])
    assert response.context["form"]["outline"].value() == entered
    assert Stand.objects.get().version == 1


def test_a_stale_outline_is_shown_beside_the_saved_one(organizer, group):
    stand = make_stand(group)
    address = url("draw_stand", group, stand.pk)
    opened = form_data(organizer.get(address), outline=AWAY)
    draw(stand)
    response = organizer.post(address, opened)
    assert "44.250000, -76.500000" in text_of(response)
    organizer.post(address, form_data(response, outline=AWAY))
    assert Stand.objects.get().outline == outline(AWAY).geojson
    assert organizer.post(address, opened).status_code == 302  # sent twice: its first arrival was saved


def test_a_zone_outside_its_stand_is_refused_at_the_field(organizer, group):
    stand = make_stand(group, outline=SQUARE)
    response = organizer.post(url("record_zone", group, stand.pk), zone_data(outline=AWAY))
    assert "wholly outside" in " ".join(response.context["form"].errors["outline"])


def test_only_organizers_draw(volunteer, group):
    stand = make_stand(group)
    assert volunteer.get(url("draw_stand", group, stand.pk)).status_code == 403
    assert volunteer.get(url("draw_site", group, stand.site.pk)).status_code == 403
