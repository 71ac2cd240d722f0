"""Stems by bundles against scipy.stats.t.interval, an independent implementation of the t-interval."""

import math
import statistics

import pytest
from scipy import stats

from reedcrew.trade.effort import from_bundles


@pytest.mark.parametrize(("bundles", "sample"), [(40, [212, 198, 240]), (200, [310, 290, 305, 342, 287, 301])])
def test_the_interval_of_bundles_is_that_of_scipy(bundles, sample):
    error = statistics.stdev(sample) / math.sqrt(len(sample)) * math.sqrt(1 - len(sample) / bundles)
    low, high = stats.t.interval(0.95, len(sample) - 1, loc=statistics.mean(sample), scale=error)
    known = from_bundles(bundles, sample)
    assert [known.low, known.high] == pytest.approx([bundles * low, bundles * high], abs=1)
