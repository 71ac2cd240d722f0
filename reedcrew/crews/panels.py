"""What crews show on the start page: where the plan puts the reader, beside whom, with what."""

import datetime

from django.http import HttpRequest

from reedcrew.crews.queries import own_places
from reedcrew.people.home import Panel


def my_places(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The places of the reader and the reader's children in the plans of days to come, in every group."""
    places = own_places(request.user, now)  # type: ignore[arg-type]  # signed in
    return Panel(template="crews/_my_places.html", context={"places": places}) if places else None
