"""Forms say what is asked and why, tie errors to their fields, and lose nothing that was entered."""

import datetime
from html.parser import HTMLParser
from uuid import UUID

import pytest
from django import forms
from django.forms import formset_factory
from django.http import QueryDict
from django.utils.translation import override

from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.web.forms import CountField, Fieldset, MonthDayField, NumberField, StaleCheckMixin, SubmissionMixin
from tests.web.elements import rendered


class Marks(HTMLParser):
    """Every start tag with its attributes."""

    def __init__(self, html):
        super().__init__()
        self.tags = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def one(self, tag, **wanted):
        found = [
            attrs for name, attrs in self.tags if name == tag and all(attrs.get(k) == v for k, v in wanted.items())
        ]
        assert len(found) == 1, (tag, wanted, found)
        return found[0]

    def ids(self):
        return [attrs["id"] for _, attrs in self.tags if attrs.get("id")]


class Survey(forms.Form):
    fieldsets = [Fieldset(legend="The water", why="It decides who may go in.", fields=["depth", "absent", "tool"])]

    name = forms.CharField(label="Name of the zone", max_length=40)
    depth = NumberField(label="Depth", unit="cm", help_text="At the deepest point.", max_value=400)
    stems = CountField(label="Stems", required=False)
    tool = forms.ChoiceField(label="Tool", choices=[("a", "Hand sickle"), ("b", "Spade")], widget=forms.RadioSelect)
    opens = MonthDayField(label="Opens", required=False)
    sure = forms.BooleanField(label="Seen by two people", help_text="Both names go into the record.")


BAD = {"name": "Deep <b>", "depth": "deep", "stems": "7", "tool": "z", "opens_day": "31", "opens_month": "6"}


def test_every_input_has_a_label_and_ids_are_used_once():
    marks = Marks(str(Survey(BAD)))
    labelled = {attrs["for"] for tag, attrs in marks.tags if tag == "label"}
    inputs = {attrs["id"] for tag, attrs in marks.tags if tag in {"input", "select", "textarea"}}
    assert inputs <= labelled
    assert len(marks.ids()) == len(set(marks.ids()))


def test_help_and_error_are_tied_to_their_field():
    marks = Marks(str(Survey(BAD)))
    depth = marks.one("input", name="depth")
    assert depth["aria-describedby"] == "id_depth_helptext id_depth_error"
    assert depth["aria-invalid"] == "true"
    assert {"id_depth_helptext", "id_depth_error"} <= set(marks.ids())
    group = marks.one("fieldset", id="id_tool_group")
    assert group["aria-describedby"] == "id_tool_error"
    tick = marks.one("input", name="sure")
    assert tick["aria-describedby"] == "id_sure_helptext id_sure_error"
    assert {"id_sure_helptext", "id_sure_error"} <= set(marks.ids())


def test_only_optional_fields_are_marked():
    html = str(Survey())
    assert html.count("(optional)") == 2  # stems and opens
    assert "cm</span>" in html


def test_the_summary_leads_to_every_wrong_field_and_stands_first():
    html = str(Survey(BAD))
    marks = Marks(html)
    summary = marks.one("div", role="alert")
    assert summary["tabindex"] == "-1"
    assert html.index('role="alert"') < html.index("id_name")
    links = {attrs["href"].removeprefix("#") for tag, attrs in marks.tags if tag == "a"}
    assert links == {"id_depth", "id_tool_group", "id_opens_group", "id_sure"}
    assert links <= set(marks.ids())


def test_what_was_entered_stands_there_again_and_stays_text():
    html = str(Survey(BAD))
    assert 'value="deep"' in html
    assert 'value="Deep &lt;b&gt;"' in html


def test_a_valid_or_fresh_form_has_no_summary():
    assert 'role="alert"' not in str(Survey())


def test_fields_stand_in_their_fieldset_and_the_rest_last():
    html = str(Survey())
    assert html.index("<legend>The water</legend>") < html.index("It decides who may go in.") < html.index("id_depth")
    assert html.index("id_depth") < html.index("Hand sickle") < html.index("id_name") < html.index("id_sure")


def test_form_to_is_a_whole_form():
    class Photo(forms.Form):
        photo = forms.FileField(label="Photo")

    html = rendered(
        "{% form_to '/x/' form=form submit='Save' cancel='/back/' %}<p>More.</p>{% endform_to %}",
        form=Photo(),
        csrf_token="a-token",
    )
    form = Marks(html).one("form")
    assert (form["method"], form["action"], form["enctype"]) == ("post", "/x/", "multipart/form-data")
    assert "a-token" in html
    assert "<p>More.</p>" in html
    assert ">Save</button>" in html
    assert 'href="/back/"' in html


def test_form_to_without_an_address_posts_to_its_own_page():
    marks = Marks(rendered("{% form_to form=form submit='Save' %}{% endform_to %}", form=Survey(), csrf_token="t"))
    assert "action" not in marks.one("form")


def test_a_formset_shows_each_form_and_its_management_fields():
    html = str(formset_factory(Survey, extra=2)())
    assert 'name="form-TOTAL_FORMS"' in html
    assert 'name="form-1-depth"' in html


class Zone(StaleCheckMixin, forms.Form):
    depth = NumberField(label="Depth", unit="cm")
    tool = forms.ChoiceField(label="Tool", choices=[("a", "Hand sickle"), ("b", "Spade")])


def zone(sent, **more):
    saved = {"depth": 62, "tool": "b"}
    return Zone(QueryDict(f"depth=40&tool=a&version={sent}"), current_version=3, initial=saved, **more)


def test_a_form_of_the_present_version_is_accepted():
    form = zone("3")
    assert form.is_valid()
    assert form.saved_meanwhile == []
    assert form.cleaned_data["version"] == "3"


def test_a_form_of_an_older_version_is_refused_once_and_keeps_what_was_entered():
    form = zone("2", last_change="Ana Example, 14:05")
    assert not form.is_valid()
    html = str(form)
    assert "Ana Example, 14:05" in html
    assert 'value="40"' in html
    assert [(line.label, line.saved) for line in form.saved_meanwhile] == [("Depth", 62), ("Tool", "Spade")]
    assert "Saved now" in html
    again = Marks(html).one("input", name="version")["value"]
    assert zone(again).is_valid()


def test_a_form_without_a_version_is_treated_as_an_older_one():
    assert not zone("").is_valid()


def test_a_fresh_form_carries_the_present_version():
    assert Marks(str(Zone(current_version=3))).one("input", name="version")["value"] == "3"


class Load(SubmissionMixin, forms.Form):
    bags = CountField(label="Bags")


def test_a_submission_token_stays_the_same_until_the_form_is_accepted():
    token = Marks(str(Load())).one("input", name="submission")["value"]
    wrong = Load({"bags": "many", "submission": token})
    assert not wrong.is_valid()
    assert Marks(str(wrong)).one("input", name="submission")["value"] == token
    right = Load({"bags": "3", "submission": token})
    assert right.is_valid()
    assert right.cleaned_data["submission"] == UUID(token)
    assert Marks(str(Load())).one("input", name="submission")["value"] != token


@pytest.mark.parametrize("token", ["", "7"])
def test_a_form_without_its_token_says_so_in_the_summary(token):
    form = Load({"bags": "3", "submission": token})
    assert not form.is_valid()
    assert "Open the page again." in str(form)


class TooDeep(ReedcrewError):
    code = "too_deep"
    sentence = "%(depth)s cm is too deep."
    field = "depth"


class TooEarly(ReedcrewError):
    code = "too_early"
    sentence = "From %(first)s."


class NoDay(ReedcrewError):
    code = "no_day"
    sentence = "The day is over."
    field = "day"


def test_a_refusal_becomes_an_error_at_its_field_or_of_the_whole():
    form = zone("3")
    assert form.is_valid()
    with refusals_on(form):
        raise TooDeep(depth=62)
    assert form.errors["depth"] == ["62 cm is too deep."]
    with refusals_on(form):
        raise NoDay
    assert form.non_field_errors() == ["The day is over."]


@pytest.mark.parametrize(
    ("language", "sentence"),
    [("en", "From 10 August 2026."), ("fr", "From 10 août 2026."), ("es", "From 10 de agosto de 2026.")],
)
def test_a_refusal_says_a_date_in_the_reader_s_language_and_keeps_it_for_programs(language, sentence):
    refused = TooEarly(first=datetime.date(2026, 8, 10))
    with override(language):
        assert str(refused) == sentence
    assert str(refused.values["first"]) == "2026-08-10"
