"""Beat's schedule, which goes on when the clock is set back."""

import logging
from typing import Any

from celery.beat import PersistentScheduler

logger = logging.getLogger(__name__)


class Scheduler(PersistentScheduler):
    """Celery's own waits until the clock has caught up with the time at which a task was last sent: an hour without
    sweeps and reminders. What was sent in the future counts as sent now.
    """

    def tick(self, *args: Any, **kwargs: Any) -> float:
        """Send what is due; answers with the seconds until it should look again."""
        now = self.app.now()
        ahead = [entry for entry in self.schedule.values() if entry.last_run_at and entry.last_run_at > now]
        for entry in ahead:
            entry.last_run_at = now
        if ahead:
            logger.warning("The clock was set back: %d tasks are counted anew from now", len(ahead))
            self._heap = None  # it is ordered by the clock of before
        return float(super().tick(*args, **kwargs))
