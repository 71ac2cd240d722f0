"""Mark an account as one that runs this installation, or take the mark away."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError

from reedcrew.operation.services import keep_operator
from reedcrew.people.models import Account


class Command(BaseCommand):
    """Whoever reaches the server's command line decides who may see the installation's page."""

    help = "Let the account of an address see the page of the installation."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("address", help="the mail address that the person signs in with")
        parser.add_argument("--remove", action="store_true", help="take the mark away again")

    def handle(self, *args: object, address: str, remove: bool, **options: object) -> None:
        try:
            account = keep_operator(email=address, is_operator=not remove)
        except Account.DoesNotExist:
            raise CommandError(f"Nobody has signed in as {address} yet. Sign in once, then run this again.") from None
        told = "may see" if account.is_operator else "may no longer see"
        self.stdout.write(f"{account.email} {told} the page of the installation: /installation/")
