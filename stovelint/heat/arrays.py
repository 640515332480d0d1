"""Types of the numbers that pass through the heat floor (for type checkers only)."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Numbers: TypeAlias = float | NDArray[np.float64]
"""One number, or an array of them that broadcasts against its neighbours."""
