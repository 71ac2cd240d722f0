"""Where the keyboard stands: at the content by one press, and still on its part after the part was swapped."""

from collections.abc import Callable

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.grants.models import ExportJob
from reedcrew.grants.services import exports
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import account_of
from tests.grants.days import make_grant

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

# The poll of the page itself, without its wait.
SWAP = "() => htmx.ajax('GET', location.pathname, {target: '#job', select: '#job', swap: 'outerHTML'})"


def test_the_keyboard_skips_to_the_content_and_keeps_its_place_when_a_part_is_swapped(
    page: Page, sign_in: Callable[..., None]
) -> None:
    group = factories.make_group()
    coordinator = account_of(factories.make_member(group, role=Role.COORDINATOR))
    grant = make_grant(group, factories.make_stand(group))
    job = exports.order_export(
        grant=grant,
        first=grant.starts_on,
        last=grant.ends_on,
        form=ExportJob.Form.PAPER,
        actor=coordinator,
        now=timezone.now(),
    )
    sign_in(page, coordinator)
    page.goto(reverse("grants:export", args=[group.slug, job.pk]))
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()

    again = page.get_by_role("link", name="Look again")
    again.focus()
    page.evaluate(SWAP)
    expect(again).to_be_focused()
    job.state, job.error, job.finished_at = ExportJob.State.FAILED, "There was no room left.", timezone.now()
    job.save(update_fields=["state", "error", "finished_at"])
    page.evaluate(SWAP)
    expect(again).to_have_count(0)
    expect(page.locator("#job")).to_be_focused()
