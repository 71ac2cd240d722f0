"""All that the site holds on a person, for the file that they can download.

The tables are found by what they refer to, so that a new one is in the file from its first day: rows of the person, of
the children in their care, of their account, of their sign-ups, and rows that hold one of their addresses.
"""

import datetime
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Q

from reedcrew.people.fields import EncryptedTextField
from reedcrew.people.models import Account, Member
from reedcrew.people.services.erasing import addresses_of

# References to a person that are another person's secret, or an organizer's word on several people.
WITHHELD_REFERENCES = frozenset({"people.Wish.other", "crews.PlanPin.member", "crews.PlanPin.other"})
# Columns that would let whoever reads the file act as the person.
WITHHELD_COLUMNS = frozenset({"password", "session_key", "digest", "data", "totp_secret"})
# Tables whose rows belong to whoever their row of the table belongs to.
THROUGH: Mapping[str, str] = MappingProxyType({"workdays.SignUp": "member", "invites.CalendarEntry": "sign_up__member"})


def held_on(account: Account, now: datetime.datetime) -> dict[str, Any]:
    """Everything held on an account and the children in its care: rows by table, as plain JSON values."""
    members = list(Member.objects.in_care_of_account(account))
    addresses = addresses_of(account)
    tables = {}
    for model in sorted(apps.get_models(), key=lambda model: model._meta.label):
        theirs = _theirs(model, account, members, addresses)
        if theirs is None:
            continue
        found = model._base_manager.filter(theirs).distinct().order_by("pk")
        if rows := [_row(row, members) for row in found]:
            tables[model._meta.label] = rows
    return {"account": account.email, "made_at": now.isoformat(), "tables": tables}


def _theirs(
    model: type[models.Model], account: Account, members: Sequence[Member], addresses: frozenset[str]
) -> Q | None:
    """The rows of a table that are about the person; None for a table that cannot name one."""
    if model is Account:
        return Q(pk=account.pk)
    if model is Member:
        return Q(pk__in=[member.pk for member in members])
    found = list(_conditions(model, account, members, addresses))
    return Q(*found, _connector=Q.OR) if found else None


def _conditions(
    model: type[models.Model], account: Account, members: Sequence[Member], addresses: frozenset[str]
) -> Iterator[Q]:
    for column in model._meta.concrete_fields:
        if f"{model._meta.label}.{column.name}" in WITHHELD_REFERENCES:
            continue
        to = column.related_model
        if to is Account:
            yield Q(**{column.name: account})
        elif to is Member:
            yield Q(**{f"{column.name}__in": members})
        elif isinstance(to, type) and to._meta.label in THROUGH:
            yield Q(**{f"{column.name}__{THROUGH[to._meta.label]}__in": members})
        elif isinstance(column, models.EmailField):
            yield Q(**{f"{column.name}__in": sorted(addresses)})


def _row(row: models.Model, members: Sequence[Member]) -> dict[str, Any]:
    """A row without secrets. What is encrypted in a row that they only wrote, such as an incident, is of others."""
    keys = {member.pk for member in members}
    columns = row._meta.concrete_fields
    about_them = any(column.related_model is Member and getattr(row, column.attname) in keys for column in columns)
    return {
        column.attname: _plain(getattr(row, column.attname))
        for column in columns
        if column.name not in WITHHELD_COLUMNS and (about_them or not isinstance(column, EncryptedTextField))
    }


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, str | int | float | bool | list | dict):
        return value
    if isinstance(value, bytes | memoryview):
        return bytes(value).decode("utf-8", errors="replace")
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else str(value)
