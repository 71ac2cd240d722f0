"""Codes that stand for people, in place of accounts and their mail addresses."""

from reedcrew.people.models import Member

UNKNOWN_PERSON = "–"  # an account that is no member of the group any more


def codes_of_accounts(group_pk: int) -> dict[int, str]:
    """The code of each account in the group, of the latest membership where there were several. One query."""
    rows = Member.objects.filter(group=group_pk, account__isnull=False).order_by("pk").values_list("account", "code")
    return {account: code for account, code in rows if account is not None}
