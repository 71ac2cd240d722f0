"""A work day as the stock knows it: the stock stands below the days and is told what it needs of them."""

from reedcrew.stock.queries import Outing
from reedcrew.workdays.models import WorkDay


def outing_of(day: WorkDay) -> Outing:
    """The day by its key and its site's, with its times as they are now."""
    return Outing(
        key=day.pk,
        site=day.stand.site_id,
        title=day.title,
        address=day.get_absolute_url(),
        date=day.date,
        starts_at=day.starts_at,
        ends_at=day.ends_at,
    )
