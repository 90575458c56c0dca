"""The most memory that a process has held.

Invariant: it is that of this program alone; what the kernel counts for a process that was forked
begins with the size of its parent, here of the whole test run.
"""

from __future__ import annotations

import re
from pathlib import Path


def peak_megabytes() -> int:
    """Return the peak of this process since it started this program; Linux only."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    found = re.search(r"VmHWM:\s+([0-9]+) kB", status)
    assert found is not None
    return int(found[1]) // 1024
