"""The licences under which a group may publish, as the open-data world knows them.

GBIF takes data under one of these three and reads which by the address (gbif.org, data publishing: from memory). The
identifiers are those of the SPDX licence list.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from reedcrew.grants.models import Licence


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """A licence as other programs know it: its own name, and the address of its legal text."""

    name: str
    address: str


TERMS: Mapping[Licence, Terms] = MappingProxyType(
    {
        Licence.CC0: Terms(
            name="Creative Commons Zero v1.0 Universal",
            address="http://creativecommons.org/publicdomain/zero/1.0/legalcode",
        ),
        Licence.CC_BY: Terms(
            name="Creative Commons Attribution 4.0 International",
            address="http://creativecommons.org/licenses/by/4.0/legalcode",
        ),
        Licence.CC_BY_NC: Terms(
            name="Creative Commons Attribution Non Commercial 4.0 International",
            address="http://creativecommons.org/licenses/by-nc/4.0/legalcode",
        ),
    }
)
