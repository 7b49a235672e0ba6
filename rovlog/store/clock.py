"""The clock: wall time with the local offset, and seconds that go on while the lid is shut."""

from __future__ import annotations

import os
import sys
import time


def _elapsed_s() -> float:
    """Seconds since some fixed moment, sleep of the machine included where the system can tell."""
    if sys.platform == "win32":
        return time.monotonic()
    return time.clock_gettime(getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC))


_STARTED_S = _elapsed_s()

RUN = f"{os.getpid()}-{_STARTED_S:.1f}"
"""Names this run of the program: its own seconds can be compared with those of the same run alone."""


class SystemClock:
    """The port `Clock` on the system's clocks."""

    def now(self) -> str:
        """Wall clock as RFC 3339 with seconds and the local offset, e.g. 2026-06-13T09:31:55+01:00."""
        local = time.localtime()
        offset_min = round((local.tm_gmtoff or 0) / 60)
        sign = "-" if offset_min < 0 else "+"
        hours, minutes = divmod(abs(offset_min), 60)
        return f"{time.strftime('%Y-%m-%dT%H:%M:%S', local)}{sign}{hours:02d}:{minutes:02d}"

    def mono_s(self) -> float:
        """Seconds since this program was started, one decimal."""
        return round(_elapsed_s() - _STARTED_S, 1)
