"""Taking over a FeatureCollection: what each feature becomes, what is refused and where, and all or nothing."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from reedcrew.stands.forms import ImportForm
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.stands.queries import collection_text, features
from reedcrew.trade.identification import Identification
from reedcrew.trade.policy import DEFAULT_POLICY
from tests.factories import NOW, make_group, make_site, make_stand, make_zone
from tests.stands.pages import SQUARE, queries_of, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]

NEW_ZONE = {"depth_cm": 40, "surveyed_on": "2026-07-01", "current_m_s": 0}


def square(west=0.0, south=0.0, size=1.0):
    """A square, in thousandths of a degree from the site."""
    x, y = round(-76.5 + west / 1000, 6), round(44.25 + south / 1000, 6)
    far_x, far_y = round(x + size / 1000, 6), round(y + size / 1000, 6)
    return {"type": "Polygon", "coordinates": [[[x, y], [far_x, y], [far_x, far_y], [x, far_y], [x, y]]]}


def feature(kind, name, geometry=None, *, id=None, **properties):
    found = {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, "name": name, **properties}}
    return found if id is None else {**found, "id": id}


def collection(*found):
    return json.dumps({"type": "FeatureCollection", "features": list(found)})


def send(client, group, text, **values):
    return client.post(url("import_map", group), {"text": text, **values})


def take_over(client, group, text):
    """Look, then confirm what was shown."""
    looked = send(client, group, text)
    takeover = looked.context["takeover"]
    assert takeover is not None, looked.context["form"].errors
    return client.post(url("import_map", group), {"text": text, "seen": takeover.fingerprint}, follow=True)


def errors_of(response):
    return " ".join(response.context["form"].errors.get("text", []))


@pytest.fixture
def site(group):
    return make_site(group, name="Heron Landing")


def test_looking_saves_nothing_and_confirming_saves_what_was_shown(organizer, group, site):
    stand = make_stand(group, site=site, name="North bay")
    edge = make_zone(stand, name="Edge")
    text = collection(
        feature("zone", "Pool", square(0, 3), site="Heron Landing", stand="South bay", **NEW_ZONE),
        feature("stand", "South bay", square(0, 0, 4), site="Heron Landing", first_cut_year=2024),
        feature("stand", "North bay", square(0, 0, 4), site="Heron Landing"),
        feature("zone", "Edge", square(1, 1), site="Heron Landing", stand="North bay", depth_cm=5),
    )
    looked = send(organizer, group, text)
    assert [step.taking.value for step in looked.context["takeover"].steps] == ["add", "add", "redraw", "redraw"]
    assert "is added" in text_of(looked)
    assert (Stand.objects.count(), Zone.objects.count()) == (1, 1)
    done = take_over(organizer, group, text)
    assert "4 features are taken over." in text_of(done)
    made = Stand.objects.get(name="South bay")
    assert (made.first_cut_year, made.identification) == (2024, Identification.UNCHECKED.value)
    assert made.zones.get().area_m2 == pytest.approx(8875, abs=2)
    edge.refresh_from_db()
    assert edge.outline == square(1, 1)
    assert edge.depth_cm == 60  # a file draws; depths come from surveys


def test_the_file_of_a_group_taken_over_again_changes_nothing(organizer, group, site):
    stand = make_stand(group, site=site, outline=square(0, 0, 4))
    make_zone(stand, outline=square(1, 1))
    make_zone(stand)
    text = "".join(collection_text(features(group, DEFAULT_POLICY, NOW)))
    looked = send(organizer, group, text)
    assert {step.taking.value for step in looked.context["takeover"].steps} == {"keep"}
    assert "Nothing would change" in text_of(looked)


def test_the_file_of_one_group_builds_the_stands_of_another(organizer, group, site):
    """Ids of the other group name other rows here: names decide."""
    other = make_group()
    old = make_stand(other, site=make_site(other, name="Heron Landing"), name="North bay", outline=square(0, 0, 4))
    make_zone(old, name="Edge", outline=square(1, 1))
    make_zone(make_stand(group, site=site, name="Pond"), name="Rim")
    text = "".join(collection_text(features(other, DEFAULT_POLICY, NOW)))
    take_over(organizer, group, text)
    assert sorted(zone.name for zone in Zone.objects.filter(stand__site__group=group)) == ["Edge", "Rim"]
    assert "".join(collection_text(features(group, DEFAULT_POLICY, NOW))).count('"Polygon"') == 2


def test_a_renamed_row_is_found_by_nothing_but_its_name(organizer, group, site):
    zone = make_zone(make_stand(group, site=site, name="North bay"), name="Edge")
    text = collection(
        feature("zone", "Old edge", square(), id=f"zone-{zone.pk}", site=site.name, stand="North bay", **NEW_ZONE)
    )
    take_over(organizer, group, text)
    assert sorted(Zone.objects.values_list("name", flat=True)) == ["Edge", "Old edge"]


def test_a_boundary_is_drawn_and_a_meeting_place_stays(organizer, group, site):
    text = collection(
        feature("site", site.name, {"type": "Point", "coordinates": [-76.4, 44.3]}),
        feature("boundary", site.name, square(0, 0, 9)),
    )
    take_over(organizer, group, text)
    site.refresh_from_db()
    assert site.outline == square(0, 0, 9)
    assert site.position == (-76.5, 44.25)


@pytest.mark.parametrize(
    ("found", "number", "words"),
    [
        ([{"type": "Point"}], 1, "This is no Feature"),
        ([feature("pond", "A")], 1, "kind"),
        ([feature("stand", "")], 1, "It has no name"),
        ([feature("stand", "A", site="Nowhere")], 1, "no site named Nowhere"),
        ([feature("site", "Nowhere")], 1, "Sites are added by hand"),
        ([feature("stand", "A", site="Heron Landing", first_cut_year=1800)], 1, "first_cut_year"),
        ([feature("stand", "A", {"type": "Point", "coordinates": [0, 0]}, site="Heron Landing")], 1, "type Point"),
        ([feature("stand", "A", square(9000), site="Heron Landing")], 1, "km from the site"),
        ([feature("zone", "Edge", square(), site="Heron Landing", stand="A", **NEW_ZONE)], 1, "no stand named A"),
        ([feature("zone", "Edge", square(), stand="A", **NEW_ZONE)], 1, "name of its site"),
        ([feature("zone", "Edge", square(), site="Heron Landing", stand="North bay")], 1, "depth_cm, surveyed_on"),
        (
            [feature("zone", "Edge", square(), site="Heron Landing", stand="North bay", **NEW_ZONE | {"depth_cm": -4})],
            1,
            "Write 0 cm or more",
        ),
        (
            [
                feature("zone", "E", None, site="Heron Landing", stand="North bay", **NEW_ZONE),
                feature(
                    "zone",
                    "F",
                    None,
                    site="Heron Landing",
                    stand="North bay",
                    **NEW_ZONE | {"surveyed_on": "2027-01-01"},
                ),
            ],
            2,
            "A survey lies in the past",
        ),
        ([feature("stand", "A", site="Heron Landing"), feature("stand", "A", site="Heron Landing")], 2, "twice"),
        (
            [
                feature("zone", "Edge", square(8), site="Heron Landing", stand="North bay", **NEW_ZONE),
                feature("stand", "North bay", square(), site="Heron Landing"),
            ],
            1,
            "wholly outside",
        ),
    ],
)
def test_a_feature_that_cannot_be_taken_is_named_by_its_number_and_nothing_is_saved(
    organizer, group, site, found, number, words
):
    make_stand(group, site=site, name="North bay")
    good = feature("stand", "Good", site="Heron Landing")
    response = send(organizer, group, collection(*found, good))
    assert response.status_code == 200
    assert response.context["takeover"] is None
    assert f"Feature {number} (" in errors_of(response)
    assert words in errors_of(response)
    assert "Good" in response.context["form"]["text"].value()
    assert Stand.objects.count() == 1
    assert not Zone.objects.exists()


def test_a_stand_drawn_away_from_its_zones_is_refused_unless_they_come_along(organizer, group, site):
    stand = make_stand(group, site=site, name="North bay", outline=square(0, 0, 4))
    make_zone(stand, name="Edge", outline=square(1, 1))
    away = feature("stand", "North bay", square(8, 8, 4), site=site.name)
    assert "wholly outside" in errors_of(send(organizer, group, collection(away)))
    along = feature("zone", "Edge", square(9, 9), site=site.name, stand="North bay")
    take_over(organizer, group, collection(along, away))
    stand.refresh_from_db()
    assert stand.outline == square(8, 8, 4)


def test_what_was_changed_between_looking_and_confirming_is_shown_anew(organizer, group, site):
    stand = make_stand(group, site=site, name="North bay")
    text = collection(feature("stand", "North bay", square(), site=site.name))
    seen = send(organizer, group, text).context["takeover"].fingerprint
    Stand.objects.filter(pk=stand.pk).update(version=2)
    again = send(organizer, group, text, seen=seen)
    assert again.status_code == 200
    assert again.context["takeover"].fingerprint != seen
    stand.refresh_from_db()
    assert stand.outline is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Paste a FeatureCollection"),
        ("POINT (1 2)", "This is not JSON"),
        ("[" * 5000, "This is not JSON"),
        ('{"type": "FeatureCollection", "features": [NaN]}', "This is not JSON"),
        (json.dumps(SQUARE), "no FeatureCollection"),
        ("[]", "no FeatureCollection"),
        ('{"type": "FeatureCollection"}', "has no features"),
        (collection(*[feature("stand", "A")] * 2001), "at most 2000"),
    ],
)
def test_a_text_that_is_no_collection_is_refused_with_its_cause(organizer, group, text, words):
    response = send(organizer, group, text)
    assert response.status_code == 200
    assert words in errors_of(response)


def test_a_file_is_read_and_its_text_kept_for_mending(organizer, group, site):
    text = collection(feature("stand", "Öster", square(), site=site.name), feature("stand", "", site=site.name))
    sent = SimpleUploadedFile("stands.geojson", b"\xef\xbb\xbf" + text.encode())
    response = organizer.post(url("import_map", group), {"text": "", "file": sent})
    assert "Feature 2" in errors_of(response)
    assert response.context["form"]["text"].value() == text
    broken = SimpleUploadedFile("stands.geojson", b"\xff\xfe\x00")
    response = organizer.post(url("import_map", group), {"text": "", "file": broken})
    assert "UTF-8" in " ".join(response.context["form"].errors["file"])


def test_only_organizers_take_over(volunteer, group):
    assert volunteer.get(url("import_map", group)).status_code == 403
    assert volunteer.post(url("import_map", group), {"text": "{}"}).status_code == 403


@pytest.mark.parametrize("rows", [1, 12])
def test_reading_takes_three_queries_however_many_features(group, site, rows, django_assert_num_queries):
    for number in range(rows):
        make_zone(make_stand(group, site=site, name=f"Stand {number}"), name="Edge")
    text = "".join(collection_text(features(group, DEFAULT_POLICY, NOW)))
    with django_assert_num_queries(3):
        form = ImportForm({"text": text}, group=group, this_year=2026)
        assert form.is_valid()
    assert len(form.takeover.steps) == 1 + 2 * rows
    assert Site.objects.count() == 1


def test_the_page_of_taking_over_takes_as_many_queries_for_many_stands(organizer, group, site):
    few = queries_of(organizer, url("import_map", group))
    for _number in range(5):
        make_zone(make_stand(group, site=site))
    assert queries_of(organizer, url("import_map", group)) == few


@pytest.mark.parametrize("day", [20260701, True, [1], {}])
def test_a_day_that_is_no_text_is_asked_for(organizer, group, site, day):
    make_stand(group, site=site, name="North bay")
    zone = feature("zone", "Edge", site=site.name, stand="North bay", **{**NEW_ZONE, "surveyed_on": day})
    assert "surveyed_on: Pick a day" in errors_of(send(organizer, group, collection(zone)))


def test_an_id_of_more_digits_than_any_key_means_nothing(organizer, group, site):
    make_stand(group, site=site, name="North bay")
    zone = feature("zone", "Edge", site=site.name, stand="North bay", id="zone-" + "9" * 5_000, **NEW_ZONE)
    assert send(organizer, group, collection(zone)).context["takeover"].changes


@pytest.mark.parametrize(
    "changed", [{"name": "Edge\ud800"}, {"site": "\ud800"}, {"geometry": {"type": "\udfff"}}, {"\ud800": 1}]
)
def test_half_a_character_is_no_json(organizer, group, site, changed):
    """RFC 8259, 8.2: an escape can name half of a pair of UTF-16, which stands for no character."""
    make_stand(group, site=site, name="North bay")
    properties = {"kind": "zone", "name": "Edge", "site": site.name, "stand": "North bay", **NEW_ZONE, **changed}
    found = {"type": "Feature", "geometry": properties.pop("geometry", None), "properties": properties}
    assert "This is not JSON" in errors_of(send(organizer, group, collection(found)))


def test_both_halves_of_a_character_are_one(organizer, group, site):
    make_stand(group, site=site, name="North bay")
    zone = feature("zone", "Edge \U0001f33e", site=site.name, stand="North bay", **NEW_ZONE)
    [step] = send(organizer, group, collection(zone)).context["takeover"].changes
    assert step.name == "Edge \U0001f33e"
