"""Every element of ``{% load reedcrew %}`` prints what its list in templates/web/page.html promises."""

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings
from django.core.paginator import Paginator
from django.template import TemplateSyntaxError
from django.test import RequestFactory
from django.utils.translation import override

from reedcrew.web.cautions import CAUTIONS
from reedcrew.web.templatetags.reedcrew import SHAPES
from tests.web.elements import rendered

ICONS = Path(settings.BASE_DIR) / "reedcrew" / "web" / "static" / "web" / "icons.svg"


@dataclass
class Why:
    """A reason as the rules of the trade give it."""

    code: str
    sentence: str
    values: dict[str, object] = field(default_factory=dict)
    words: tuple[str, ...] = ()


def icon_names():
    return {symbol.get("id") for symbol in ElementTree.parse(ICONS).getroot()}


@pytest.mark.parametrize("tone", SHAPES)
def test_a_badge_says_its_state_by_word_and_shape(tone):
    html = rendered("{% badge tone 'in order' %}", tone=tone)
    assert "in order" in html
    assert f"#{SHAPES[tone]}" in html
    assert f"badge-{tone}" in html


def test_shapes_of_tones_differ_so_that_colour_is_never_alone():
    assert len(set(SHAPES.values())) == len(SHAPES)


def test_an_unknown_tone_is_refused_with_the_known_ones():
    with pytest.raises(TemplateSyntaxError, match="'green' is not one of done, open"):
        rendered("{% badge 'green' 'x' %}")


def test_a_link_button_is_a_link_and_a_button_submits():
    link = rendered("{% link_button '/stands/' 'Stands' kind='primary' icon='reed' big=True %}")
    assert '<a class="button button-primary button-big" href="/stands/">' in link
    submit = rendered("{% button 'Save' name='step' value='2' %}")
    assert '<button class="button button-primary" type="submit" name="step" value="2">Save</button>' in submit


def test_a_term_of_the_trade_is_read_in_the_reader_s_language():
    with override("de"):
        assert rendered("{{ word|term }}", word="Monday") == "Montag"  # a word that Django's own catalogue holds
    assert rendered("{{ word|term }}", word="hand sickle") == "hand sickle"
    assert rendered("{{ word|term }}", word="") == ""


def test_an_unknown_kind_of_button_is_refused():
    with pytest.raises(TemplateSyntaxError, match="'huge' of a button"):
        rendered("{% button 'Save' kind='huge' %}")


def test_a_post_button_posts_its_hidden_values_with_the_token():
    html = rendered("{% post_button '/out/' 'Sign out' kind='danger' person=7 %}", csrf_token="a-token")
    assert '<form class="post" method="post" action="/out/">' in html
    assert '<input type="hidden" name="csrfmiddlewaretoken" value="a-token">' in html
    assert '<input type="hidden" name="person" value="7">' in html


def test_a_panel_has_its_heading_at_the_level_asked_for():
    html = rendered("{% panel title level=3 tone='water' id='gear' %}<p>in</p>{% endpanel %}", title="Gear & tools")
    assert '<section class="panel panel-water" id="gear">' in html
    assert "<h3>Gear &amp; tools</h3>" in html
    assert "<p>in</p>" in html


def test_a_notice_may_be_an_alert():
    html = rendered("{% notice 'stop' role='alert' %}<p>No.</p>{% endnotice %}")
    assert 'role="alert"' in html
    assert "#stop" in html


def test_facts_say_in_words_that_a_value_is_not_known():
    html = rendered(
        "{% facts %}{% fact 'Depth' depth %}{% fact 'Zero' 0 figure=True %}{% fact 'Bad' bad %}{% endfacts %}",
        depth=None,
        bad="<b>",
    )
    assert "<dt>Depth</dt><dd>not known</dd>" in html
    assert '<dt>Zero</dt><dd class="figure">0</dd>' in html
    assert "&lt;b&gt;" in html


def test_reasons_are_filled_from_sentence_and_values():
    why = Why("H4", "{name} did not say so.", {"name": "Bo <x>"})
    html = rendered("{% reasons items %}", items=[why, {"code": "H7", "text": "Too fast."}])
    assert "Bo &lt;x&gt; did not say so." in html
    assert re.findall(r'class="reasons-code"[^>]*>(\w+)<', html) == ["H4", "H7"]
    assert "Too fast." in html


def test_reasons_without_codes_leave_the_codes_out_and_no_reasons_print_nothing():
    html = rendered("{% reasons items codes=False %}", items=[{"code": "H7", "text": "Too fast."}])
    assert "Too fast." in html
    assert "reasons-code" not in html
    assert rendered("{% reasons items %}", items=[]).strip() == ""


@pytest.mark.parametrize("kind", CAUTIONS)
def test_each_caution_advises_and_defers(kind):
    html = rendered("{% caution kind %}", kind=kind)
    assert len(CAUTIONS[kind].advice) >= 2
    assert html.count("<li>") == len(CAUTIONS[kind].advice)
    assert html.count("<p>") == 1  # who decides instead of this page


def test_several_cautions_share_a_box_and_a_repeated_one_stands_once():
    html = rendered("{% caution 'water' 'cold' 'water' %}")
    assert html.count('<div class="caution">') == 1
    assert html.count("<section>") == 2


def test_an_unknown_caution_is_refused_so_that_none_is_missing_by_a_slip():
    with pytest.raises(TemplateSyntaxError, match="lightning"):
        rendered("{% caution 'water' 'lightning' %}")
    with pytest.raises(TemplateSyntaxError):
        rendered("{% caution %}")


@pytest.mark.parametrize(
    ("value", "limit", "width", "over"),
    [
        (7, 12, "58.3", False),
        (0, 0, "0.0", False),
        (14, 12, "100.0", True),
        (12, 12, "100.0", False),
        (-1, 5, "0.0", False),
    ],
)
def test_a_bar_stays_within_its_ground(value, limit, width, over):
    html = rendered("{% bar value limit 'so many' %}", value=value, limit=limit)
    assert f'width="{width}"' in html
    assert ("bar-over" in html) is over
    assert "so many" in html


def test_pagination_keeps_the_other_parameters_of_the_address():
    request = RequestFactory().get("/days/?state=open&page=2")
    html = rendered("{% pagination page %}", request=request, page=Paginator(range(30), 10).page(2))
    assert 'href="?state=open&amp;page=1"' in html
    assert 'href="?state=open&amp;page=3"' in html
    assert "Page 2 of 3" in html


def test_pagination_of_one_page_prints_nothing():
    assert rendered("{% pagination page %}", page=Paginator(range(3), 10).page(1)).strip() == ""


def test_an_empty_list_says_what_to_do_first():
    assert "Confirm a stand first." in rendered("{% empty icon='day' %}<p>Confirm a stand first.</p>{% endempty %}")


def test_captured_text_can_be_printed_twice():
    assert rendered("{% captured as a %}<b>x</b>{% endcaptured %}{{ a }}{{ a }}") == "<b>x</b><b>x</b>"


def test_numbers_keep_their_unit_on_the_line_and_unknown_ones_say_so():
    assert rendered("{% amount 1250.5 'cm' 1 %}") == "1,250.5\N{NO-BREAK SPACE}cm"
    assert rendered("{% amount depth 'cm' %}", depth=None) == "not known"
    assert rendered("{{ 12480|number }} {{ 0.613|number:2 }}") == "12,480 0.61"
    # A float is rounded, not cut: 106.96 is nearer to 107.
    assert rendered("{{ value|number }} {{ value|number:1 }}", value=106.96) == "107 107.0"


def test_a_day_shows_weekday_and_year():
    assert rendered("{{ d|day }}", d=date(2026, 7, 18)) == "Sat 18 July 2026"  # a Saturday by any calendar


def test_every_icon_that_a_template_or_a_menu_names_is_in_the_sprite():
    used = set()
    for file in [
        *Path(settings.BASE_DIR, "templates").rglob("*.html"),
        *Path(settings.BASE_DIR, "reedcrew").rglob("*.py"),
    ]:
        text = file.read_text()
        used |= set(re.findall(r"{% icon [\"']([\w-]+)[\"']", text)) | set(
            re.findall(r"\bicon=[\"']([\w-]+)[\"']", text)
        )
    assert used - icon_names() == set()
    assert {caution.icon for caution in CAUTIONS.values()} | set(SHAPES.values()) <= icon_names()


def test_no_template_carries_inline_script_or_style():
    """The content policy would silently drop them. Letters are no pages: mail programs read only inline styles."""
    pages = [file for file in Path(settings.BASE_DIR, "templates").rglob("*.html") if file.parent.name != "mail"]
    assert pages
    for file in pages:
        text = re.sub(r"{% comment %}.*?{% endcomment %}", "", file.read_text(), flags=re.DOTALL)
        assert not re.search(r"<[^>]*\s(style|on\w+)=", text), file
        for script in re.findall(r"<script\b[^>]*>", text):
            assert "src=" in script or "application/json" in script, file
