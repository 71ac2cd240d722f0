"""Pages of surveys: recording, reading, striking out, planning, places."""

import datetime
import re
import uuid
from decimal import Decimal
from html import unescape

import pytest

from reedcrew.people.roles import Role
from reedcrew.stands.models import QUADRATS_MAX, Quadrat, Survey
from tests.factories import (
    make_gauge,
    make_group,
    make_member,
    make_stand,
    make_survey,
    make_zone,
)
from tests.stands.pages import SQUARE, queries_of, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


@pytest.fixture
def stand(group):
    return make_stand(group, name="North bay")


@pytest.fixture
def zone(stand):
    return make_zone(stand, name="Edge", area_m2=100, depth_cm=30)


def sheet(rows=None, **values):
    """What a browser sends: ``rows`` by zone, each a list of rows of fields."""
    data = {
        "submission": str(uuid.uuid4()),
        "surveyed_on": "2026-08-01",
        "quadrat_m2": "1",
        "gauge_cm": "",
        "counted_by": "",
        "note": "",
        "pasted": "",
        **values,
    }
    for zone, lines in (rows or {}).items():
        data[f"rows-{zone.pk}"] = str(len(lines))
        for number, line in enumerate(lines, 1):
            for name in ("stems", "depth_cm", "height_cm", "seed_heads", "latitude", "longitude", "planned"):
                data[f"z{zone.pk}-{number}-{name}"] = line.get(name, "")
    return data


def value_of(response, name):
    found = re.search(rf'<input[^>]*name="{name}"[^>]*>', response.content.decode())
    value = found and re.search(r'value="([^"]*)"', found.group(0))
    return unescape(value.group(1)) if value else None


def test_each_page_opens_to_its_roles_only(client, group, stand, zone):
    survey = make_survey(stand, {zone: [1, 2]})
    for_all = [
        url("surveys", group, stand.pk),
        url("survey", group, stand.pk, survey.pk),
        url("plan_survey", group, stand.pk),
        url("quadrat_places", group, stand.pk),
    ]
    kept = [url("record_survey", group, stand.pk), url("strike_survey", group, stand.pk, survey.pk)]
    for role in Role:
        client.force_login(make_member(group, role=role).account)
        assert {client.get(address).status_code for address in for_all} == {200}
        assert {client.get(address).status_code for address in kept} == {200 if role is Role.ORGANIZER else 403}
    client.force_login(make_member(make_group(), role=Role.ORGANIZER).account)
    assert {client.get(address).status_code for address in for_all + kept} == {404}


def test_a_survey_of_another_stand_is_not_there(organizer, group, stand, zone):
    survey = make_survey(stand, {zone: [1]})
    other = make_stand(group)
    assert organizer.get(url("survey", group, other.pk, survey.pk)).status_code == 404


def test_rows_become_a_survey_whose_page_shows_estimate_and_method(organizer, group, stand, zone):
    lines = [{"stems": str(stems)} for stems in (42, 55, 38, 61, 47)]
    lines[1] = {"stems": "55", "depth_cm": "35", "height_cm": "310", "seed_heads": "12"}
    response = organizer.post(
        url("record_survey", group, stand.pk), sheet({zone: [*lines, {}, {}]}, counted_by="Robin"), follow=True
    )
    survey = Survey.objects.get()
    assert response.redirect_chain == [(survey.get_absolute_url(), 302)]
    assert [each.stems for each in survey.quadrats.all()] == [42, 55, 38, 61, 47]
    shown = text_of(response)
    # Freese's formulas with scipy: 48.6 per m², s² 88.3, s.e. sqrt(88.3 / 5 × 0.95) = 4.0960, t 2.776445,
    # limits 3722.76 to 5997.24, widened to whole stems.
    for words in (
        "The survey is recorded.",
        "“Edge” now has the depth measured in it, 35 cm.",
        "Stems 4,860",
        "3,722 to 5,998",
        "37.2 to 60.0",
        "Standard error, stems 410",
        "finite correction for 5.0 % of the area counted (Freese 1962)",
        "All 5 quadrats",
        "Who counted Robin",
        "These zones took their depth from this survey: Edge.",
    ):
        assert words in shown


def test_the_stand_s_page_says_how_many_stems_plus_or_minus_what(volunteer, group, stand, zone):
    make_zone(stand, name="Bank", stems=3000)
    make_survey(stand, {zone: [42, 55, 38, 61, 47]})
    shown = text_of(volunteer.get(url("stand", group, stand.pk)))
    for words in (
        "Stems standing 7,860",
        "95 % interval 3,722 to 5,998",
        "4,860 by quadrats, to which the interval belongs, and 3,000 estimated by eye in zones without quadrats: Bank.",
        "Quadrats 5",
        "Area of 100 m² × 48.6 stems/m², from 5 quadrats of 1 m² on 10 July 2026.",
    ):
        assert words in shown
    assert "Record a survey" not in shown


def test_one_quadrat_is_taken_and_claims_no_interval(organizer, group, stand, zone):
    response = organizer.post(url("record_survey", group, stand.pk), sheet({zone: [{"stems": "7"}]}), follow=True)
    shown = text_of(response)
    assert "95 % interval none is claimed" in shown
    assert "one quadrat says nothing of scatter in Edge" in shown or "One quadrat only" in shown


def test_no_stems_are_a_count_too(organizer, group, stand, zone):
    response = organizer.post(
        url("record_survey", group, stand.pk), sheet({zone: [{"stems": "0"}, {"stems": "0"}]}), follow=True
    )
    assert "No stem in 2 quadrats. Stems may still stand between them" in text_of(response)


def test_a_zone_without_an_outline_has_a_density_and_says_why_there_is_no_total(organizer, group, stand):
    bare = make_zone(stand, name="Bare")
    shown = text_of(
        organizer.post(url("record_survey", group, stand.pk), sheet({bare: [{"stems": "3"}] * 3}), follow=True)
    )
    assert "None of the zones counted has an outline" in shown
    assert "no area known" in shown


def test_an_implausible_density_is_taken_and_doubted(organizer, group, stand, zone):
    rows = {zone: [{"stems": "1200"}, {"stems": "1100"}]}
    shown = text_of(organizer.post(url("record_survey", group, stand.pk), sheet(rows), follow=True))
    assert "More than 1000 stems/m² is hardly plausible" in shown


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"surveyed_on": "2026-08-11"}, "A survey lies in the past: at the site today is 10 August 2026."),
        ({"surveyed_on": "soon"}, "Pick a day"),
        ({"quadrat_m2": "0"}, "Write 0.01 m² or more."),
        ({"quadrat_m2": "60"}, "cover more than its 100.0 m²"),
        ({"gauge_cm": "120"}, "had no gauge whose zero is recorded"),
        ({"submission": "x"}, "Open the page again"),
        ({"pasted": "Edge,1,5"}, "Row 1, number: this number stands twice in the zone."),
        ({"pasted": "Edge,9,many\nShore,1,2"}, "Row 1, stems: Write a whole number, such as 12."),
        ({"pasted": "Edge,9,many\nShore,1,2"}, "Row 2, zone: the stand has no zone “Shore”. Its zones are Edge."),
    ],
)
def test_what_is_wrong_is_said_and_nothing_entered_is_lost(organizer, group, stand, zone, values, words):
    rows = {zone: [{"stems": "41", "height_cm": "300"}, {"stems": "17"}]}
    response = organizer.post(url("record_survey", group, stand.pk), sheet(rows, **values))
    assert response.status_code == 200
    assert words in text_of(response)
    assert value_of(response, f"z{zone.pk}-1-stems") == "41"
    assert value_of(response, f"z{zone.pk}-2-stems") == "17"
    assert values.get("pasted", "").split("\n")[0] in unescape(response.content.decode())
    assert not Survey.objects.exists()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ({"stems": "many"}, "Zone “Edge”, quadrat 1, Stems: Write a whole number, such as 12."),
        ({"height_cm": "300"}, "Zone “Edge”, quadrat 1, Stems: This field is required."),
        ({"stems": "-1"}, "Zone “Edge”, quadrat 1, Stems: Write 0 or more."),
        ({"stems": "3", "seed_heads": "4"}, "Seed heads: a stem carries one seed head at most, so write 3 or less."),
        ({"stems": "3", "latitude": "44.25"}, "Longitude: a position has both latitude and longitude."),
        (
            {"stems": "3", "latitude": "44.2505", "longitude": "-76.498"},
            "Zone “Edge”, quadrat 1, Latitude: it lies 80 m outside the outline of the zone.",
        ),
    ],
)
def test_what_is_wrong_with_a_row_is_said_at_the_row_and_above(organizer, group, stand, zone, line, words):
    zone.outline = SQUARE
    zone.save()
    response = organizer.post(url("record_survey", group, stand.pk), sheet({zone: [line]}))
    shown = text_of(response)
    assert words in shown
    assert shown.count(words.split(": ", 1)[1]) == 2
    for name, text in line.items():
        assert value_of(response, f"z{zone.pk}-1-{name}") == text
    assert not Survey.objects.exists()


def test_nothing_counted_is_no_survey(organizer, group, stand, zone):
    shown = text_of(organizer.post(url("record_survey", group, stand.pk), sheet({zone: [{}, {}]})))
    assert "A survey has at least one quadrat. A quadrat without stems counts too: write 0." in shown


def test_more_rows_keep_all_that_was_typed_and_judge_nothing(organizer, group, stand, zone):
    data = sheet({zone: [{"stems": "many"}, {"stems": "17"}]}, note="Windy", surveyed_on="soon")
    response = organizer.post(url("record_survey", group, stand.pk), {**data, "more": str(zone.pk)})
    assert value_of(response, f"z{zone.pk}-1-stems") == "many"
    assert value_of(response, f"z{zone.pk}-7-stems") is None
    assert f'name="z{zone.pk}-7-stems"' in response.content.decode()
    assert f'name="z{zone.pk}-8-stems"' not in response.content.decode()
    assert (value_of(response, "surveyed_on"), value_of(response, "submission")) == ("soon", data["submission"])
    assert "Look at this again" not in text_of(response)


@pytest.mark.parametrize("count", ["", "x", "-3", "99999999", "٣"])
def test_a_broken_number_of_rows_breaks_nothing(organizer, group, stand, zone, count):
    data = sheet({zone: [{"stems": "5"}]})
    response = organizer.post(url("record_survey", group, stand.pk), {**data, f"rows-{zone.pk}": count})
    assert response.status_code == 302
    assert Quadrat.objects.count() == 1


def test_pasted_rows_are_recorded_beside_typed_ones(organizer, group, stand, zone):
    other = make_zone(stand, name="Deep end", area_m2=50)
    pasted = "zone;stems;depth_cm\nedge;5;\nDeep end;7;41\n"
    organizer.post(url("record_survey", group, stand.pk), sheet({zone: [{"stems": "3"}]}, pasted=pasted))
    found = [(each.zone, each.number, each.stems, each.depth_cm) for each in Quadrat.objects.order_by("stems")]
    assert found == [(zone, 1, 3, None), (zone, 2, 5, None), (other, 1, 7, 41)]


def test_a_double_press_makes_one_survey(organizer, group, stand, zone):
    data = sheet({zone: [{"stems": "3"}]})
    for _press in range(2):
        assert organizer.post(url("record_survey", group, stand.pk), data).status_code == 302
    assert Survey.objects.count() == 1


def test_a_lesser_depth_is_not_taken_unless_the_deepest_place_was_measured(organizer, group, stand, zone):
    make_gauge(stand.site)
    rows = {zone: [{"stems": "3", "depth_cm": "20"}]}
    shown = text_of(organizer.post(url("record_survey", group, stand.pk), sheet(rows), follow=True))
    assert "“Edge” keeps its depth: the greatest measured, 20 cm, is less" in shown
    organizer.post(url("record_survey", group, stand.pk), sheet(rows, deepest_measured="on"))
    zone.refresh_from_db()
    assert zone.depth_cm == 20


def test_a_stand_without_zones_says_what_to_do_first(organizer, group, stand):
    for name in ("record_survey", "plan_survey"):
        assert "Add its zones first" in text_of(organizer.get(url(name, group, stand.pk)))
    assert "No zone of this stand has an outline yet" in text_of(organizer.get(url("quadrat_places", group, stand.pk)))


def test_a_survey_is_struck_out_with_a_reason_and_entered_anew(organizer, group, stand, zone):
    survey = make_survey(stand, {zone: [42, 55]}, quadrat_m2=Decimal("0.25"), counted_by="Robin")
    address = url("strike_survey", group, stand.pk, survey.pk)
    assert "This field is required" in text_of(organizer.post(address, {"reason": " "}))
    shown = text_of(organizer.post(address, {"reason": "Counted dead stems"}, follow=True))
    assert "Struck out by Robin Alder: Counted dead stems" in shown
    assert "Estimated by eye" in text_of(organizer.get(url("stand", group, stand.pk)))
    assert "This survey was struck out already." in text_of(organizer.post(address, {"reason": "Again"}))
    anew = organizer.get(f"{url('record_survey', group, stand.pk)}?from={survey.pk}")
    assert (value_of(anew, "quadrat_m2"), value_of(anew, "surveyed_on")) == ("0.25", "2026-07-10")
    assert "Edge\t2\t55" in anew.content.decode()
    for key in ("x", "9" * 30, "0"):
        assert organizer.get(f"{url('record_survey', group, stand.pk)}?from={key}").status_code == 200


def test_the_list_of_surveys_shows_totals_newest_first(volunteer, group, stand, zone):
    assert "No survey is recorded" in text_of(volunteer.get(url("surveys", group, stand.pk)))
    make_survey(stand, {zone: [42, 55, 38, 61, 47]}, surveyed_on=datetime.date(2025, 7, 10))
    make_survey(stand, {zone: [4]})
    shown = text_of(volunteer.get(url("surveys", group, stand.pk)))
    assert shown.index("10 July 2026") < shown.index("10 July 2025")
    assert "3,722 to 5,998" in shown
    assert "none is claimed" in shown


def test_pages_take_as_many_queries_for_many_surveys_and_quadrats(volunteer, group, stand, zone):
    survey = make_survey(stand, {zone: [1, 2]})
    pages = [url("surveys", group, stand.pk), url("survey", group, stand.pk, survey.pk), url("stand", group, stand.pk)]
    few = [queries_of(volunteer, page) for page in pages]
    for year in range(2010, 2020):
        make_survey(
            stand, {zone: [1, 2, 3], make_zone(stand): [4, 5]}, surveyed_on=datetime.date(year, 7, 1), note="Windy"
        )
    Quadrat.objects.bulk_create(Quadrat(survey=survey, zone=zone, number=n, stems=n) for n in range(10, 60))
    assert [queries_of(volunteer, page) for page in pages] == few


def test_a_plan_by_the_last_counts(volunteer, group, stand, zone):
    """Freese's data on 100 m²: ± 10 % of 1070 at 95 % need 33 quadrats, which reach ± 106.6."""
    freese = [10, 9, 10, 9, 11, 16, 11, 7, 12, 12, 11, 3, 5, 11, 14, 8, 13, 12, 20, 10]
    make_survey(stand, {zone: freese})
    make_zone(stand, name="Bare")
    asked = {"precision": "10", "confidence": "0.95", "allocation": "by area", "quadrat_m2": "1"}
    shown = text_of(volunteer.get(url("plan_survey", group, stand.pk), asked))
    for words in (
        "Quadrats in all 33",
        "1,070 ± 107 stems",
        "Mean and scatter from 20 quadrats counted on 10 July 2026.",
        "Bare: The zone has no outline, so its area is not known.",
        "the interval is no wider than wanted in 9 of 10 surveys",
    ):
        assert words in shown


def test_a_plan_by_guesses(volunteer, group, stand, zone):
    make_survey(stand, {zone: [5]})
    asked = {"precision": "20", "confidence": "0.9", "allocation": "by area and scatter", "quadrat_m2": "1"}
    page = url("plan_survey", group, stand.pk)
    assert "One quadrat says nothing of scatter" in text_of(volunteer.get(page, asked))
    guess = {f"least-{zone.pk}": "2", f"most-{zone.pk}": "18"}
    shown = text_of(volunteer.get(page, {**asked, **guess}))
    assert "Guessed: 2 to 18 stems in a quadrat" in shown
    assert "10.0 ± 4.0" in shown


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"precision": "0"}, "Write 1 % or more."),
        ({"confidence": "0.5"}, "valid choice"),
        ({"least": "5"}, "A guess needs both the fewest and the most."),
        ({"least": "5", "most": "4"}, "The most is not less than the fewest."),
        ({"quadrat_m2": "0.5"}, "Its last survey had quadrats of 1 m²"),
    ],
)
def test_what_is_wrong_with_a_plan_is_said(volunteer, group, stand, zone, values, words):
    make_survey(stand, {zone: [5, 6]})
    asked = {"precision": "10", "confidence": "0.95", "allocation": "by area", "quadrat_m2": "1", **values}
    asked = {f"{name}-{zone.pk}" if name in {"least", "most"} else name: value for name, value in asked.items()}
    assert words in text_of(volunteer.get(url("plan_survey", group, stand.pk), asked))


def test_random_places_stay_the_same_by_their_number(volunteer, group, stand, zone):
    zone.outline = SQUARE
    zone.save()
    page = url("quadrat_places", group, stand.pk)
    drawn = volunteer.get(page, {"zone": zone.pk, "count": "6", "apart_m": "5", "seed": ""}, follow=True)
    address = drawn.redirect_chain[0][0]
    places = re.findall(r'href="(geo:[-\d.,]+)"', drawn.content.decode())
    assert len(places) == len(set(places)) == 6
    assert re.findall(r'href="(geo:[-\d.,]+)"', volunteer.get(address).content.decode()) == places
    assert "from true north" in text_of(drawn)
    assert "Record counts at these places" not in text_of(drawn)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"count": "0"}, "Write 1 or more."),
        ({"count": "201"}, "Write 200 or less."),
        ({"zone": "999999"}, "Select a valid choice"),
        ({"zone": "9" * 30}, "Select a valid choice"),
        ({"seed": "x"}, "Write a whole number"),
        ({"count": "50", "apart_m": "70"}, "positions found room so far apart"),
    ],
)
def test_what_is_wrong_with_places_is_said(volunteer, group, stand, zone, values, words):
    zone.outline = SQUARE
    zone.save()
    asked = {"zone": zone.pk, "count": "6", "apart_m": "0", "seed": "1", **values}
    assert words in text_of(volunteer.get(url("quadrat_places", group, stand.pk), asked))


def test_counts_at_drawn_places_are_recorded_with_their_positions(organizer, group, stand, zone):
    zone.outline = SQUARE
    zone.save()
    address = f"{url('record_survey', group, stand.pk)}?zone={zone.pk}&count=3&apart_m=0&seed=7"
    opened = organizer.get(address)
    lines = [
        {
            "latitude": value_of(opened, f"z{zone.pk}-{number}-latitude"),
            "longitude": value_of(opened, f"z{zone.pk}-{number}-longitude"),
            "planned": value_of(opened, f"z{zone.pk}-{number}-planned"),
        }
        for number in (1, 2, 3)
    ]
    assert all(line["latitude"].startswith("44.25") for line in lines)
    lines[0]["stems"], lines[2]["stems"] = "12", "9"
    assert organizer.post(address, sheet({zone: lines})).status_code == 302
    found = list(Quadrat.objects.order_by("number"))  # the second place was not visited
    assert [(each.number, each.stems, str(each.latitude)) for each in found] == [
        (1, 12, lines[0]["latitude"]),
        (3, 9, lines[2]["latitude"]),
    ]


def test_a_sheet_with_a_row_for_every_quadrat_of_a_survey_is_taken(organizer, group, stand, zone):
    zone.area_m2 = 10_000
    zone.save()
    made = organizer.post(url("record_survey", group, stand.pk), sheet({zone: [{"stems": "7"}] * QUADRATS_MAX}))
    assert made.status_code == 302
    assert Quadrat.objects.filter(zone=zone).count() == QUADRATS_MAX
