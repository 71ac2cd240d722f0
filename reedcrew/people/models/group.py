from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class Group(models.Model):
    """A conservation group: the tenant to which every person, stand, day, hour and item belongs."""

    name = models.CharField(_("name"), max_length=80)
    slug = models.SlugField(_("short name in addresses"), max_length=40, unique=True)
    about = models.TextField(_("about the group"), blank=True)
    contact_email = models.EmailField(_("contact address"), help_text=_("Shown on the public page of a work day."))
    language = models.CharField(_("language"), max_length=8, default="en")  # of settings.LANGUAGES
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        verbose_name = _("group")
        verbose_name_plural = _("groups")
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("people:group", args=[self.slug])


class PolicyChange(models.Model):
    """One change of one value of trade.policy.Policy by an organizer. The latest row of a name holds."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="policy_changes")
    name = models.CharField(max_length=40)
    value = models.JSONField()
    changed_by = models.ForeignKey("people.Account", on_delete=models.PROTECT, related_name="+")
    changed_at = models.DateTimeField()

    objects: ClassVar[models.Manager["PolicyChange"]] = models.Manager()

    class Meta:
        verbose_name = _("change of a rule's value")
        verbose_name_plural = _("changes of rules' values")
        ordering = ["changed_at", "pk"]
        indexes = [models.Index(fields=["group", "changed_at"], name="people_policy_by_group")]

    def __str__(self) -> str:
        return f"{self.name} = {self.value}"
