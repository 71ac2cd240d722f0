"""What changes about the operation of the installation."""

import logging

from reedcrew.people.models import Account

logger = logging.getLogger(__name__)


def keep_operator(*, email: str, is_operator: bool) -> Account:
    """Let the account of an address see the operators' page, or no longer. Raises Account.DoesNotExist."""
    account = Account.objects.get_by_natural_key(email.strip())
    account.is_operator = is_operator
    account.save(update_fields=["is_operator"])
    logger.warning("Account %s is %s", account.pk, "now an operator" if is_operator else "no operator any more")
    return account
