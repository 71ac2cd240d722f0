"""Reasons of a plan in the reader's language, with names in place of keys and codes."""

from django.utils.translation import override

from reedcrew.crews.records import Names, said
from reedcrew.trade.reasons import reason


def test_a_shared_language_is_named_in_the_reader_s_own() -> None:
    shared = reason("H11.shared", language="en, pl")
    nobody = Names(people={}, zones={})
    assert said(shared, nobody) == "They share a language: English, Polish."
    with override("fr"):
        assert said(shared, nobody) == "Langue en commun\xa0: Anglais, Polonais."
