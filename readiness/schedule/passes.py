"""Both passes and the single step, gathered for the floors above.

Invariant: nothing is computed here; each name means what its own module says.
"""

from __future__ import annotations

from readiness.schedule.backward import Late, Targets, backward, limits_back
from readiness.schedule.forward import Forecast, forward, imposed

__all__ = ["Forecast", "Late", "Targets", "backward", "forward", "imposed", "limits_back"]
