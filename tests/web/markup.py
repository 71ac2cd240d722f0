"""What is wrong with the markup of a page, by the parsing rules of the HTML standard and by what its elements mean."""

from collections import Counter
from collections.abc import Iterator

from justhtml import Element, JustHTML, Node

Placed = tuple[Element, tuple[str, ...]]

INTERACTIVE = frozenset({"a", "button", "details", "input", "label", "select", "summary", "textarea"})
# HTML, "content model": neither a link nor a button may hold another thing to act on; a label may hold its own field.
HOLDS_NONE = frozenset({"a", "button", "summary"})
# Elements for phrases: no block of these may stand in them.
PHRASES = frozenset({"p", "span", "label", "strong", "em", "h1", "h2", "h3", "h4"})
BLOCKS = frozenset({"form", "div", "p", "ul", "ol", "dl", "table", "section", "h1", "h2", "h3", "h4", "fieldset"})
REFERS = ("for", "aria-labelledby", "aria-describedby", "aria-controls", "list", "form")


def faults_of_markup(text: str) -> list[str]:
    """Faults of one whole page: parsing, ids, references, nesting, attributes that the standard does not know."""
    page = JustHTML(text, sanitize=False, collect_errors=True)
    elements = list(_elements(page.root, ()))
    ids = Counter(name for each, _above in elements if (name := each.attrs.get("id")))
    screens = {name for each, _above in elements if (name := each.attrs.get("data-screen"))}  # of the phone's page
    return [
        *(f"{error.code} in line {error.line}" for error in page.errors),
        *(f"the id {each} stands {count} times" for each, count in ids.items() if count > 1),
        *_faults_of_references(elements, {*ids, *screens}),
        *_faults_of_nesting(elements),
        *(f"{each.name} has {name}" for each, _above in elements for name in each.attrs if name.startswith("hx-")),
    ]


def _elements(node: Node, above: tuple[str, ...]) -> Iterator[Placed]:
    """Each element with the names of those around it; what a template holds is on its own."""
    for child in node.children or ():
        if isinstance(child, Element):
            yield child, above
            yield from _elements(child, (*above, child.name))
            if child.template_content is not None:
                yield from _elements(child.template_content, ())


def _faults_of_references(elements: list[Placed], ids: set[str]) -> Iterator[str]:
    for each, _above in elements:
        for name in REFERS:
            for target in (each.attrs.get(name) or "").split():
                if target not in ids:
                    yield f"{name} of {each.name} names {target}, which is not there"
        target = each.attrs.get("href") or ""
        if each.name == "a" and target.startswith("#") and target[1:] not in {"", *ids}:
            yield f"a link leads to {target}, which is not there"


def _faults_of_nesting(elements: list[Placed]) -> Iterator[str]:
    for each, above in elements:
        if each.name in INTERACTIVE and (outer := HOLDS_NONE.intersection(above)):
            yield f"{each.name} stands in {', '.join(sorted(outer))}"
        if each.name in BLOCKS and (outer := PHRASES.intersection(above)):
            yield f"{each.name} stands in {', '.join(sorted(outer))}"
        if each.name == "form" and "form" in above:
            yield "a form stands in a form"
        if each.name == "form" and each.attrs.get("action") == "":
            yield "a form has an empty action"
        if each.name == "button" and "type" not in each.attrs:
            yield "a button does not say its type"
        if each.name == "img" and "alt" not in each.attrs:
            yield "a picture has no words"
