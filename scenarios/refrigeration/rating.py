"""Compressor rating by the ten-coefficient polynomial, for machines known by their published table only.

    X = C1 + C2 S + C3 D + C4 S² + C5 S D + C6 D² + C7 S³ + C8 D S² + C9 S D² + C10 D³

S and D are suction and discharge dew temperatures in the unit the coefficients were fitted in, mostly F; X is mass flow, power,
current or capacity in its own unit. Source: AHRI Standard 540 (2015), equation 1; the 2020 edition keeps the form.
A trap: another common bicubic orders its coefficients 1, x, x², y, y², xy, x³, y³, x²y, xy².
"""

from typing import NamedTuple

from scenarios.kernel import compiled


class Rating(NamedTuple):
    """The ten coefficients, in the standard's order."""

    c1: float
    c2: float
    c3: float
    c4: float
    c5: float
    c6: float
    c7: float
    c8: float
    c9: float
    c10: float


@compiled
def rated(rating: Rating, suction: float, discharge: float) -> float:
    """Value of a rating polynomial, in the rating's own unit [-].

    Parameters
    ----------
    rating : Rating
        Coefficients.
    suction, discharge : float
        Dew temperatures in the rating's own unit. [-]

    Examples
    --------
    >>> rated(Rating(1.0, 2.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0), 3.0, 2.0)
    15.0
    """
    s, d = suction, discharge
    linear = rating.c1 + rating.c2 * s + rating.c3 * d
    square = rating.c4 * s * s + rating.c5 * s * d + rating.c6 * d * d
    cubic = rating.c7 * s * s * s + rating.c8 * d * s * s + rating.c9 * s * d * d + rating.c10 * d * d * d
    return linear + square + cubic
