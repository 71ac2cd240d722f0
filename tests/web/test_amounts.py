"""Amounts in the reader's units, in sentences and templates, in every language of the site."""

from dataclasses import dataclass, field
from decimal import Decimal

import pytest
from django.conf import settings
from django.utils.translation import gettext, override

from reedcrew.trade.reasons import SENTENCES, reason
from reedcrew.web import amounts
from reedcrew.web.sentences import Value, said
from tests.web.elements import rendered

LANGUAGES = [code for code, _name in settings.LANGUAGES]


@dataclass
class Why:
    """A reason as the rules of the trade give it."""

    sentence: str
    values: dict[str, Value] = field(default_factory=dict)


def shown(source, language="en", with_customary=True, **values):
    """What the template prints, its spaces that do not break marked."""
    with override(language), amounts.shown(with_customary=with_customary):
        return rendered(source, **values).replace("\N{NO-BREAK SPACE}", "_")


@pytest.mark.parametrize(
    ("language", "metric", "both"),
    [
        ("en", "1,200.5_m²", "1,200.5_m² (12,900_sq ft)"),
        ("fr", "1_200,5_m²", "1_200,5_m² (12_900_ft²)"),
        ("es", "1_200,5_m²", "1_200,5_m² (12_900_ft²)"),
    ],
)
def test_an_amount_is_metric_first_in_the_reader_s_writing(language, metric, both):
    for with_customary, text in ((False, metric), (True, both)):
        assert shown('{% amount area "m²" 1 %}', language, with_customary, area=Decimal("1200.5")) == text


def test_an_amount_says_no_more_than_is_known():
    assert shown('{% amount depth "cm" %}', depth=None) == "not known"
    assert shown('{% amount share "%" %}', share=50) == "50_%"


@pytest.mark.parametrize("number", [float, Decimal])
def test_an_amount_is_rounded_never_cut_and_nothing_has_no_minus(number):
    assert shown('{% amount current "m/s" 1 %}', with_customary=False, current=number("0.29")) == "0.3_m/s"
    assert shown('{% amount warmth "°C" %}', warmth=number("-0.4")) == "0_°C (31_°F)"
    assert shown('{% amount warmth "°C" 1 %}', warmth=number("-17.8")) == "-17.8_°C (0_°F)"


def test_an_amount_in_parentheses_and_one_by_which_it_is_warmer():
    assert shown('(at {% amount 60 "cm" inside=True %})') == "(at 60_cm, 24_in)"
    assert shown('{% amount sun "°C" 1 is_difference=True %}', sun=8.3) == "8.3_°C (15_°F)"


def test_what_is_written_already_gets_its_customary_amount_behind():
    source = '{{ litres }} L{{ litres|beside:"L" }}'
    assert shown(source, litres=20) == "20 L (5.3_gal)"
    assert shown(source, with_customary=False, litres=20) == "20 L"


def test_nobody_reads_customary_units_unless_it_is_said():
    assert not amounts.are_with_customary()
    with amounts.shown(with_customary=True):
        with amounts.shown(with_customary=False):
            assert not amounts.are_with_customary()
        assert amounts.are_with_customary()
    assert not amounts.are_with_customary()


def test_a_reason_says_each_of_its_amounts_in_both():
    tall = Why("{depth_cm} cm (over {limit_cm} cm), {target} mg/L, {n} m²/s, {who} m", {"depth_cm": 60, "limit_cm": 30})
    tall.values |= {"target": 200, "n": 0.929, "who": "Ada"}
    with amounts.shown(with_customary=True):
        text = said(tall).replace("\N{NO-BREAK SPACE}", "_")
    assert text == "60 cm (24_in) (over 30 cm, 12_in), 200 mg/L, 0.929 m²/s (10.0_ft²/s), Ada m"
    assert said(tall) == "60 cm (over 30 cm), 200 mg/L, 0.929 m²/s, Ada m"


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_reason_tells_heat_and_what_the_sun_adds_to_it(language):
    """91 °F is where OSHA's bands begin; full sun can add 15 °F (National Weather Service)."""
    heat = reason("weather.heat_moderate", index_c=32.8, sun_adds_c=8.3)
    with override(language), amounts.shown(with_customary=True):
        text = said(heat).replace("\N{NO-BREAK SPACE}", "_")
    assert "(91_°F)" in text
    assert "(15_°F)" in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_translation_keeps_the_unit_behind_its_number(language):
    """A place whose unit went elsewhere would have no customary amount."""
    with override(language):
        for code, sentence in SENTENCES.items():
            assert units_in(gettext(sentence)) == units_in(sentence), code


def units_in(sentence):
    return sorted((place["name"], place["unit"]) for place in amounts.places_with_units(sentence))
