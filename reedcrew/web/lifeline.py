"""A process that must not outlive the one that started it."""

import ctypes
import signal
import sys

PR_SET_PDEATHSIG = 1  # linux/prctl.h
_libc = ctypes.CDLL(None) if sys.platform == "linux" else None


def die_with_parent() -> None:
    """Call in a new process: Linux ends it when its parent is gone, however that ended. Elsewhere it does nothing."""
    if _libc is not None:
        _libc.prctl(PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0)
