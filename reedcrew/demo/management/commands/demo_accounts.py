"""``manage.py demo_accounts``: whom one may be in the demo, and how to sign in."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from reedcrew.demo.queries import demo_accounts, demo_group


class Command(BaseCommand):
    help = "List accounts of the demo and say how to sign in."

    def handle(self, **_options: Any) -> None:
        group = demo_group()
        if group is None:
            self.stdout.write("No demo is loaded.")
            return
        self.stdout.write(f"\nAccounts of “{group}”:")
        for account in demo_accounts(group):
            with_children = f", with {' and '.join(account.children)} in their care" if account.children else ""
            self.stdout.write(f"  {account.address}: {account.name}, {account.role.lower()}{with_children}")
        where = "found on the page /mail/" if settings.MAIL_PAGE else "mailed there"
        self.stdout.write(f"Sign in with one of these addresses; the code that it asks for is {where}.")
