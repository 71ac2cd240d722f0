"""The guided check, its result, and the organizer's decision, as people meet them."""

import io
from typing import Any

import pytest
from PIL import Image

from reedcrew.people.roles import Role
from reedcrew.stands.models import CheckPhoto, IdentificationCheck, IdentificationDecision
from reedcrew.trade.identification import CHARACTERS, Identification
from tests.factories import (
    NOW,
    SEES_INTRODUCED,
    SEES_LITTLE,
    SEES_NATIVE,
    make_check,
    make_decision,
    make_group,
    make_member,
    make_stand,
)
from tests.stands.pages import text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


@pytest.fixture(autouse=True)
def _media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "media"


@pytest.fixture
def stand(group):
    return make_stand(group, name="North bay", identification=Identification.UNCHECKED.value)


def data_of(client, address, **answers):
    """What a browser would send from a form that was opened: its initial answers, some written over."""
    form = client.get(address).context["form"]
    data: dict[str, Any] = {}
    for field in form:
        value = field.value()
        if isinstance(value, list):
            data[field.html_name] = [str(each) for each in value]
        elif value not in (None, False):
            data[field.html_name] = str(value)
    return {**data, **answers}


SEEN = {"sheaths": "retained", "internodes": "tan", "spots": "none"}


def test_the_guided_form_says_how_to_look_how_decisive_it_is_and_what_to_leave_alone(volunteer, group, stand):
    shown = text_of(volunteer.get(url("record_check", group, stand.pk)))
    for facts in CHARACTERS.values():
        assert facts.title in shown
        assert facts.how in shown
    for words in (
        "Decides: it separated the two completely",
        "A weak tendency",
        "Not looked at",
        "digging for rhizomes does harm",
        "Look from firm ground",
        "Native reed looks much like the introduced one",
        "some count the fringe of hairs",
    ):
        assert words in shown
    assert "Was a test or a qualified person asked?" not in shown


def test_a_volunteer_records_a_check_and_reads_what_it_finds(volunteer, group, stand):
    address = url("record_check", group, stand.pk)
    data = data_of(volunteer, address, **SEEN, leaves="yellow_green", note="Ten stems")
    response = volunteer.post(address, data, follow=True)
    check = IdentificationCheck.objects.get()
    assert response.redirect_chain[-1][0] == check.get_absolute_url()
    shown = text_of(response)
    for words in (
        "introduced",
        "2 characters that separated the two completely point to the introduced reed",
        "Weaker characters that point the other way: 1",
        "Leaf sheaths on dead stems hold tight",
        "Decides: it separated the two completely",
        "says nothing here",
        "Ten stems",
        "tested in southern Ontario",
        "British Columbia",
        "an organizer decides",
    ):
        assert words in shown
    stand.refresh_from_db()
    assert not stand.may_be_cut
    volunteer.post(address, data)
    assert IdentificationCheck.objects.count() == 1


def test_a_doubtful_check_says_whom_to_ask(volunteer, group, stand):
    check = make_check(stand, SEES_LITTLE)
    shown = text_of(volunteer.get(url("check", group, stand.pk, check.pk)))
    assert "Ask a qualified person, or have a leaf tested genetically" in shown
    assert "It takes two" in shown


@pytest.mark.parametrize(
    ("answers", "field", "words"),
    [
        ({"ligule_mm": "50"}, "ligule_mm", "Write 5 mm or less"),
        ({"ligule_mm": "-0.4"}, "ligule_mm", "Write 0.05 mm or more"),
        ({"ligule_mm": "narrow"}, "ligule_mm", "Write a number"),
        ({"upper_glume_mm": "500"}, "upper_glume_mm", "mm or less"),
        ({"height_cm": "4"}, "height_cm", "10 cm or more"),
        ({"sheaths": "torn"}, "sheaths", "valid choice"),
        ({"sheaths": ""}, "sheaths", "required"),
        ({"checked_on": "2026-08-11"}, "checked_on", "today is 10 August 2026"),
        ({"checked_on": "yesterday"}, "checked_on", "Pick a day"),
        ({"submission": "x"}, "submission", "Open the page again"),
        ({"note": "x" * 2001}, "note", "2000"),
    ],
)
def test_a_slip_is_named_at_its_field_and_the_rest_is_kept(volunteer, group, stand, answers, field, words):
    address = url("record_check", group, stand.pk)
    data = data_of(volunteer, address, **{**SEEN, "note": "Ten stems at the landing", **answers})
    response = volunteer.post(address, data)
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    if field != "note":
        assert "Ten stems at the landing" in response.text
    assert response.context["form"]["internodes"].value() == "tan"
    assert not IdentificationCheck.objects.exists()


def test_a_check_of_nothing_is_asked_back(volunteer, group, stand):
    address = url("record_check", group, stand.pk)
    response = volunteer.post(address, data_of(volunteer, address))
    assert "Nothing was looked at yet" in text_of(response)


def test_a_bad_photo_is_named_and_the_answers_are_kept(volunteer, group, stand):
    address = url("record_check", group, stand.pk)
    words = io.BytesIO(b"no photo")
    words.name = "stem.jpg"
    response = volunteer.post(address, {**data_of(volunteer, address, **SEEN), "photos": [words]})
    shown = text_of(response)
    assert "“stem.jpg” is no photo" in shown
    assert "choose the photos again" in shown
    assert response.context["form"]["sheaths"].value() == "retained"
    assert not IdentificationCheck.objects.exists()


def test_photos_are_shown_with_the_check(volunteer, group, stand):
    address = url("record_check", group, stand.pk)
    file = io.BytesIO()
    Image.new("RGB", (600, 400), (150, 120, 70)).save(file, "PNG")
    file.seek(0)
    file.name = "stem.png"
    response = volunteer.post(address, {**data_of(volunteer, address, **SEEN), "photos": [file]}, follow=True)
    photo = CheckPhoto.objects.get()
    assert url("check_photo_small", group, stand.pk, photo.code) in response.text
    assert "Photo 1 of the check of" in response.text
    assert "Remove photo" not in response.text


def test_only_an_organizer_records_a_test_or_a_person(client, organizer, group, stand):
    address = url("record_check", group, stand.pk)
    asked = {"asked": "genetic test", "asked_name": "Leaf test 7", "asked_result": "native"}
    shown = text_of(organizer.post(address, data_of(organizer, address, **SEEN, **asked), follow=True))
    assert "The genetic test by Leaf test 7 says native" in shown
    client.force_login(make_member(group).account)
    client.post(address, {**data_of(client, address, **SEEN), **asked})
    assert list(IdentificationCheck.objects.order_by("pk").values_list("result", "asked")) == [
        ("native", "genetic test"),
        ("introduced", ""),
    ]


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"asked": "genetic test", "asked_result": "native"}, "asked_name"),
        ({"asked": "qualified person", "asked_name": "Ada Reedley"}, "asked_result"),
        ({"asked_name": "Ada Reedley"}, "asked"),
    ],
)
def test_half_an_answer_of_a_test_is_asked_back(organizer, group, stand, asked, field):
    address = url("record_check", group, stand.pk)
    response = organizer.post(address, data_of(organizer, address, **SEEN, **asked))
    assert response.context["form"].errors[field]
    assert not IdentificationCheck.objects.exists()


def test_the_list_shows_every_check_the_latest_first(volunteer, group, stand):
    for number in range(30):
        make_check(stand, checked_on=NOW.date().replace(day=1), note=str(number))
    make_check(stand, SEES_NATIVE, checked_by=make_member(group, name="Wren Alder").account)
    shown = text_of(volunteer.get(url("checks", group, stand.pk)))
    assert shown.index("Wren Alder") < shown.index("1 August 2026")
    assert volunteer.get(url("checks", group, stand.pk) + "?page=2").status_code == 200


def test_the_page_of_characters_names_sources_and_limits_of_the_study(volunteer, group):
    shown = text_of(volunteer.get(url("characters", group)))
    for words in ("10.1017/inp.2023.15", "Saltonstall, Peterson and Soreng 2004", "from memory", "Only towards native"):
        assert words in shown


def test_a_check_of_another_stand_or_group_is_not_there(volunteer, group, stand):
    foreign = make_check(make_stand(make_group()))
    assert volunteer.get(url("check", group, stand.pk, foreign.pk)).status_code == 404
    assert volunteer.get(url("check", group, foreign.stand_id, foreign.pk)).status_code == 404


# --- The decision ----------------------------------------------------------------------------------------------------


def test_an_organizer_decides_on_the_checks_and_the_stand_opens(organizer, group, stand):
    make_check(stand, checked_by=make_member(group, name="Wren Alder").account)
    address = url("decide_identification", group, stand.pk)
    assert "Wren Alder" in text_of(organizer.get(address))
    data = data_of(organizer, address, result="introduced", reason="Both agree.")
    shown = text_of(organizer.post(address, data, follow=True))
    assert "Work days can be posted on this stand" in shown
    for words in (
        "An organizer has confirmed the introduced reed",
        "by Robin Alder",
        "rests on 1 check",
        "Both agree.",
    ):
        assert words in shown
    organizer.post(address, data)
    assert IdentificationDecision.objects.count() == 1


def test_a_decision_against_the_findings_is_refused_with_a_sentence_and_kept_entries(organizer, group, stand):
    make_check(stand, SEES_NATIVE)
    address = url("decide_identification", group, stand.pk)
    data = data_of(organizer, address, result="introduced", reason="I think so.")
    response = organizer.post(address, data)
    assert "can't be confirmed as introduced" in text_of(response)
    assert "I think so." in response.text
    assert not IdentificationDecision.objects.exists()
    named = {**data, "authority": "genetic test", "authority_name": ""}
    assert "Name the test and its laboratory" in text_of(organizer.post(address, named))
    shown = text_of(organizer.post(address, {**named, "authority_name": "Leaf test 7"}, follow=True))
    assert "a genetic test: Leaf test 7" in shown


def test_a_check_that_came_meanwhile_is_shown_before_anybody_decides(organizer, group, stand):
    make_check(stand)
    address = url("decide_identification", group, stand.pk)
    data = data_of(organizer, address, result="introduced", reason="Both agree.")
    make_check(stand, SEES_LITTLE, checked_by=make_member(group, name="Wren Alder").account)
    response = organizer.post(address, data)
    assert "changed since you opened it" in text_of(response)
    assert "Wren Alder" in response.text
    assert not IdentificationDecision.objects.exists()


def test_a_stand_without_any_check_can_be_protected(organizer, group, stand):
    address = url("decide_identification", group, stand.pk)
    shown = text_of(organizer.post(address, data_of(organizer, address, result="native", reason="Known."), follow=True))
    assert "it is native reed: the stand is protected" in shown
    assert "No work day can be posted on this stand" in shown


def test_the_stand_s_page_says_why_it_is_closed_and_offers_the_decision_to_organizers(client, organizer, group):
    stand = make_stand(group)
    make_check(stand, SEES_INTRODUCED)
    make_decision(stand, Identification.INTRODUCED)
    check_address = url("record_check", group, stand.pk)
    native = {"sheaths": "fall_off", "internodes": "red", "spots": "seen"}
    organizer.post(check_address, data_of(organizer, check_address, **native))
    shown = text_of(organizer.get(url("stand", group, stand.pk)))
    for words in (
        "No work day can be posted on this stand",
        "A check after the decision found native reed",
        "2 people have checked it.",
        "1 × introduced, 1 × native, 0 × not sure",
        "Decide which reed it is",
        "How the two are told apart",
    ):
        assert words in shown
    client.force_login(make_member(group, role=Role.CREW_LEAD).account)
    assert "Decide which reed it is" not in text_of(client.get(url("stand", group, stand.pk)))
