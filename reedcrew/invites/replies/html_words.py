"""The words of an HTML text, for people whose program sends nothing else. Never its marks, scripts or addresses."""

import re
from html.parser import HTMLParser

UNSEEN = {"script", "style", "title", "template"}
ENDS_A_LINE = {"br", "p", "div", "li", "tr", "blockquote", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "table"}
_MANY_LINE_ENDS = re.compile(r"\s*\n\s*\n\s*")


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._unseen = 0

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self._unseen += tag in UNSEEN
        if tag in ENDS_A_LINE:
            self.found.append("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag in UNSEEN and self._unseen:
            self._unseen -= 1
        if tag in ENDS_A_LINE:
            self.found.append("\n")

    def handle_data(self, data: str) -> None:
        if not self._unseen:
            self.found.append(re.sub(r"\s+", " ", data))


def words_of_html(html: str) -> str:
    """The text of an HTML document, blocks on lines of their own. Any string is accepted."""
    parser = _Words()
    parser.feed(html)
    parser.close()
    return _MANY_LINE_ENDS.sub("\n\n", "".join(parser.found)).strip()
