"""The licences under which a group may publish: those that GBIF takes data under, by their SPDX identifiers.

GBIF asks for one of these three and reads it from the address (gbif.org, data publishing: from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.db import models
from django.utils.translation import gettext_lazy as _


class Licence(models.TextChoices):
    """Identifiers of the SPDX licence list."""

    CC0 = "CC0-1.0", _("CC0 1.0: no rights kept")
    CC_BY = "CC-BY-4.0", _("CC BY 4.0: whoever uses it names the group")
    CC_BY_NC = "CC-BY-NC-4.0", _("CC BY-NC 4.0: names the group, and earns no money with it")


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
