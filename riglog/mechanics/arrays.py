"""The array type of the numeric core, and the way in for numbers of any shape."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

FloatArray: TypeAlias = npt.NDArray[np.float64]
BoolArray: TypeAlias = npt.NDArray[np.bool_]
IndexArray: TypeAlias = npt.NDArray[np.intp]

STANDARD_GRAVITY = 9.80665  # [m/s^2], exact: 3rd CGPM, 1901


def floats(value: npt.ArrayLike) -> FloatArray:
    """Convert to float64; a scalar stays a scalar, on which numpy is five times faster."""
    scalar_or_array: FloatArray = np.asarray(value, dtype=np.float64)[()]
    return scalar_or_array
