"""Own exponential, logarithm and power against an independent library with many digits (mpmath)."""

import math

import mpmath
import numpy as np
import pytest

from scenarios.compiling.exact import exp, log, on_grid, power, size

DRAW = np.random.default_rng(7)


def test_exponential_is_off_by_less_than_its_promise() -> None:
    """3e-16 relative, over the whole range in which it is used, and near nothing."""
    numbers = [*DRAW.uniform(-39.0, 39.0, 3000), *DRAW.uniform(-0.1, 0.1, 1000)]
    with mpmath.workdps(40):
        worst = max(abs(float(mpmath.mpf(exp(x)) / mpmath.exp(mpmath.mpf(x)) - 1)) for x in numbers)
    assert worst < 3e-16


def test_logarithm_is_off_by_less_than_its_promise() -> None:
    """3e-16 absolute, for what is neither tiny nor huge; beyond that a digit of the result itself."""
    numbers = np.exp(DRAW.uniform(-2.0, 2.0, 3000))
    assert max(abs(float(mpmath.mpf(log(x)) - mpmath.log(mpmath.mpf(x)))) for x in numbers) < 3e-16
    far = np.exp(DRAW.uniform(-30.0, 30.0, 1000))
    assert max(abs(log(x) / math.log(x) - 1.0) for x in far) < 1e-15


def test_power_and_size() -> None:
    for x, a in zip(DRAW.uniform(0.05, 20.0, 1000), DRAW.uniform(-3.0, 3.0, 1000), strict=True):
        assert power(x, a) == pytest.approx(float(mpmath.mpf(x) ** mpmath.mpf(a)), rel=3e-15)
    assert size(complex(5.0, -12.0)) == 13.0


def test_beyond_its_range_the_exponential_stays_at_its_end() -> None:
    assert exp(-1e9) == exp(-40.0) > 0.0
    assert exp(1e9) == exp(40.0) < math.inf


def test_the_grid_is_a_power_of_two() -> None:
    values = DRAW.uniform(-1e3, 1e3, 1000)
    assert all(on_grid(x) * 2.0**20 == math.floor(on_grid(x) * 2.0**20) for x in values)
    assert max(abs(on_grid(x) - x) for x in values) <= 2.0**-21
