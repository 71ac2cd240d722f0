"""Numbers of the installation for Prometheus, read from the rows at the moment somebody asks."""

import logging
from collections.abc import Iterator

from django.db import DatabaseError
from django.utils import timezone
from prometheus_client import CollectorRegistry
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector

from reedcrew.operation import parts, queries
from reedcrew.operation.versions import reedcrew_version
from reedcrew.web import metrics as of_requests

logger = logging.getLogger(__name__)


class InstallationCollector(Collector):
    """Gauges of outbox, inbox, plans, backup and beat. Without the database only that it does not answer."""

    def collect(self) -> Iterator[GaugeMetricFamily]:
        version = GaugeMetricFamily("reedcrew_info", "The version that answers.", labels=["version"])
        version.add_metric([reedcrew_version()], 1)
        yield version
        try:
            state = queries.counted(timezone.now())
        except DatabaseError as error:
            logger.warning("The database does not answer: %s", type(error).__name__)
            yield GaugeMetricFamily("reedcrew_database_up", "Whether the database answers.", value=0)
            return
        yield GaugeMetricFamily("reedcrew_database_up", "Whether the database answers.", value=1)
        yield _by("reedcrew_outbox_mails", "Mails of the outbox.", "state", state.outbox)
        yield _by("reedcrew_inbox_mails", "Mails that came in.", "outcome", state.inbox)
        yield GaugeMetricFamily("reedcrew_plans_due", "Days that wait for a plan.", value=state.plans_due)
        oldest = 0.0 if state.oldest_waiting is None else (state.now - state.oldest_waiting).total_seconds()
        yield GaugeMetricFamily(
            "reedcrew_outbox_oldest_waiting_seconds", "Age of the oldest mail that is due and not sent.", value=oldest
        )
        if state.last_beat is not None:
            yield GaugeMetricFamily(
                "reedcrew_beat_last_timestamp_seconds",
                "When a worker last did what beat sent.",
                value=state.last_beat.timestamp(),
            )
        if state.last_backup is not None:
            yield GaugeMetricFamily(
                "reedcrew_backup_last_timestamp_seconds",
                "When the last good backup was finished.",
                value=state.last_backup.finished_at.timestamp(),
            )
            yield GaugeMetricFamily(
                "reedcrew_backup_last_octets", "Size of the last good backup.", value=state.last_backup.octets
            )
        try:
            yield GaugeMetricFamily(
                "reedcrew_wake_ups_waiting", "Wake-ups that wait for a worker.", value=parts.waiting_wake_ups()
            )
        except parts.PartFails:
            yield GaugeMetricFamily("reedcrew_broker_up", "Whether the broker answers.", value=0)
        else:
            yield GaugeMetricFamily("reedcrew_broker_up", "Whether the broker answers.", value=1)


def registry() -> CollectorRegistry:
    """All numbers: of the requests of this web server, and of the installation."""
    whole = of_requests.registry()
    whole.register(InstallationCollector())
    return whole


def _by(name: str, words: str, label: str, numbers: dict[str, int]) -> GaugeMetricFamily:
    family = GaugeMetricFamily(name, words, labels=[label])
    for value, number in numbers.items():
        family.add_metric([value], number)
    return family
