"""Noise that a grader on another machine gets again: from a hash of (seed, step, key), in whole numbers, then scaled once."""

import hashlib

BITS = 48
"""Bits taken of the hash; a fraction of that many bits is exact in a float."""


def noise(seed: int, step: int, key: str) -> float:
    """Even noise between -1 and 1 [-], never quite either, the same for the same three for ever.

    Parameters
    ----------
    seed : int
        Seed of the call.
    step : int
        Number of the step; -1 for what belongs to the instrument itself.
    key : str
        Which instrument, which points.

    >>> noise(7, 12, "volts Q5:1 Q5:3") == noise(7, 12, "volts Q5:1 Q5:3")
    True
    """
    text = f"{seed}/{step}/{key}".encode()
    whole = int.from_bytes(hashlib.sha256(text).digest()[: BITS // 8], "big")
    return (2 * whole + 1 - (1 << BITS)) / (1 << BITS)
