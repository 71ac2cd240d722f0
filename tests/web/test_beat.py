"""Beat's schedule under a clock that is set back."""

import datetime

import time_machine

from reedcrew.celery import app
from reedcrew.web.beat import Scheduler
from tests.factories import NOW

A_MINUTE, AN_HOUR = datetime.timedelta(minutes=1), datetime.timedelta(hours=1)


class Noting(Scheduler):
    """Beat without a broker: it notes what it would send."""

    producer = None

    def __init__(self, **kwargs):
        self.sent = []
        super().__init__(**kwargs)

    def apply_async(self, entry, producer=None, advance=True, **kwargs):
        self.sent.append(entry.task)


def sent_by(beat):
    """Run it until nothing is due; what it sent."""
    beat.sent = []
    while beat.tick() == 0:
        pass
    return sorted(beat.sent)


def test_an_hour_back_costs_beat_a_minute_and_not_an_hour(tmp_path):
    with time_machine.travel(NOW, tick=False) as clock:
        beat = Noting(app=app, schedule_filename=str(tmp_path / "schedule"), lazy=True)
        beat.setup_schedule()
        assert sent_by(beat) == []
        clock.move_to(NOW + A_MINUTE)
        each_minute = sent_by(beat)
        assert "invites.send_due" in each_minute
        clock.move_to(NOW + A_MINUTE - AN_HOUR)
        assert sent_by(beat) == []
        clock.move_to(NOW + 2 * A_MINUTE - AN_HOUR)
        assert sent_by(beat) == each_minute
        beat.close()
