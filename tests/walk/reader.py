"""A browser that is quick enough to open every address."""

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django.db import transaction
from django.test import Client, RequestFactory
from django.test.client import ClientHandler

from reedcrew.people.models import Account


class Reader(RequestFactory):
    """A browser of somebody, or of nobody: only cookies and the handler, without the test client's copies of pages."""

    def __init__(self, account: Account | None = None) -> None:
        super().__init__()
        self.answers_with = ClientHandler(enforce_csrf_checks=False)
        if account is not None:
            client = Client()
            client.force_login(account)
            self.cookies = client.cookies

    def request(self, **environ: Any) -> Any:
        """The answer, with all that it wrote taken back."""
        with transaction.atomic():
            answer = self.answers_with(self._base_environ(**environ))  # type: ignore[attr-defined]  # not in the stubs
            if answer.streaming:
                list(answer)
            transaction.set_rollback(True)
        return answer

    def ask(self, url: str, method: str, said: Sequence[tuple[str, str]] = ()) -> Any:
        """The answer to a form, sent as browsers send those without files."""
        return self.generic(method, url, urlencode(said), content_type="application/x-www-form-urlencoded")
