"""What the check of markup finds: each kind of fault once, and none in a page that is right."""

import pytest

from tests.web.markup import faults_of_markup


def page(body: str) -> str:
    return f'<!doctype html><html lang="en"><head><title>Page</title></head><body>{body}</body></html>'


def test_a_page_that_is_right_has_no_fault() -> None:
    body = (
        '<h1 id="top">Days</h1><label for="name">Name</label><input id="name"><a href="#top">Up</a><svg><path/></svg>'
    )
    assert faults_of_markup(page(body)) == []


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ("<p>open</div>", "unexpected-end-tag"),
        ('<p id="a"></p><p id="a"></p>', "the id a stands 2 times"),
        ('<label for="gone">Name</label>', "for of label names gone, which is not there"),
        ('<input aria-describedby="gone">', "aria-describedby of input names gone, which is not there"),
        ('<a href="#gone">Down</a>', "a link leads to #gone, which is not there"),
        ('<a href="/"><button type="button">Go</button></a>', "button stands in a"),
        ("<span><form></form></span>", "form stands in span"),
        ('<form action=""></form>', "a form has an empty action"),
        ("<button>Go</button>", "a button does not say its type"),
        ('<img src="/reed.webp">', "a picture has no words"),
        ('<template><p id="a"><img src="/reed.webp"></p></template>', "a picture has no words"),
        ("<p hx-get='/'></p>", "p has hx-get"),
    ],
)
def test_a_fault_is_found(body: str, fault: str) -> None:
    assert fault in " ".join(faults_of_markup(page(body)))
