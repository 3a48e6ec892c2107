"""Weather of a night against numpy's own interpolation, and against the fixed points of the two scales."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenarios import weather

NIGHT = [[-50, 77, 72], [-3, 79, 72.5], [0, 32, 32], [2, 212, 76], [27, -40, -40]]


def test_scales_meet_where_they_must() -> None:
    """32 F is 0 C, 212 F is 100 C, -40 is -40: definition of the scales."""
    rows = weather.profile(NIGHT)
    assert rows[2:, 1] == pytest.approx([0.0, 100.0, -40.0], abs=1e-12)
    assert list(rows[:, 0]) == [hours * 3600.0 for hours, _, _ in NIGHT]


@settings(deadline=None)  # the first example compiles
@given(st.floats(-60 * 3600.0, 40 * 3600.0), st.sampled_from([1, 2]))
def test_straight_between_points_and_level_beyond(t: float, column: int) -> None:
    rows = weather.profile(NIGHT)
    assert weather.at(rows, t, column) == pytest.approx(np.interp(t, rows[:, 0], rows[:, column]), abs=1e-9)
