from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

class OptimizeResult(dict[str, object]):
    x: NDArray[np.float64]
    fun: float
    success: bool
    message: str
    nit: int

def minimize(
    fun: Callable[..., object],
    x0: NDArray[np.float64],
    args: tuple[object, ...] = ...,
    method: str | None = ...,
    jac: bool | str | Callable[..., object] | None = ...,
    *,
    tol: float | None = ...,
    options: Mapping[str, object] | None = ...,
) -> OptimizeResult: ...
