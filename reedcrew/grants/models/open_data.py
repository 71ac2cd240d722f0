"""What a group lets everybody have of its records."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models.grants import Licence
from reedcrew.people.models import Account, Group
from reedcrew.trade.blurring import Blurring

LICENCES = [choice for choice in Licence.choices if choice[0]]
BLURRINGS = [
    (Blurring.EXACT.value, _("exact, with outlines and names of places")),
    (Blurring.FINE.value, _("to a grid of 0.001°, about 100 m")),
    (Blurring.MEDIUM.value, _("to a grid of 0.01°, about 1 km")),
    (Blurring.COARSE.value, _("to a grid of 0.1°, about 10 km")),
]


class OpenDataChoice(models.Model):
    """Whether a group publishes, under which licence, and how exact its positions are. No row: it does not."""

    group = models.OneToOneField(Group, on_delete=models.CASCADE, related_name="open_data_choice")
    published = models.BooleanField(_("publish open data"), default=False)
    licence = models.CharField(_("licence"), max_length=12, choices=LICENCES, default=Licence.CC_BY.value)
    blurring = models.CharField(
        _("positions of stands"), max_length=5, choices=BLURRINGS, default=Blurring.MEDIUM.value
    )
    changed_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, related_name="+")
    changed_at = models.DateTimeField(null=True)
    version = models.PositiveIntegerField(default=1)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["OpenDataChoice"]] = models.Manager()

    class Meta:
        verbose_name = _("choice about open data")
        verbose_name_plural = _("choices about open data")
        constraints = [
            models.CheckConstraint(
                condition=models.Q(licence__in=[value for value, _word in LICENCES]), name="grants_open_data_licensed"
            )
        ]

    def __str__(self) -> str:
        return f"{self.licence}, {self.blurring}"
