"""Which section of help explains the code of a reason or refusal, or a group's value: known only here."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from reedcrew.help.shapes import Section, Topic
from reedcrew.help.topics import TOPICS
from reedcrew.web.help_links import HelpLink


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A section and the page that it stands on."""

    topic: Topic
    section: Section

    def get_absolute_url(self) -> str:
        return f"{self.topic.get_absolute_url()}#{self.section.anchor}"


def places() -> Iterator[Place]:
    """Every section of every page."""
    for topic in TOPICS:
        for section in topic.sections:
            yield Place(topic=topic, section=section)


BY_CODE: Mapping[str, Place] = MappingProxyType({code: place for place in places() for code in place.section.codes})
BY_POLICY: Mapping[str, Place] = MappingProxyType({name: place for place in places() for name in place.section.policy})


def place_of(code: str) -> Place | None:
    """The section for a code or the name of a value: its own, else that of the nearest code above it.

    H5 is above H5.waders_taken.
    """
    if code in BY_POLICY:
        return BY_POLICY[code]
    while code not in BY_CODE:
        code, point, _last = code.rpartition(".")
        if not point:
            return None
    return BY_CODE[code]


def link_for(code: str) -> HelpLink | None:
    """The link that pages show beside a code."""
    place = place_of(code)
    return None if place is None else HelpLink(url=place.get_absolute_url(), title=place.section.title)
