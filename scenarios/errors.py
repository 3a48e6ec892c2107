"""What can go wrong for a person, as sentences.

HalfsplitError          one sentence: what, where, what to do
├── BadRequest          the request was wrong                       exit 2
└── FaultFound          the work found a fault                      exit 1
"""


class HalfsplitError(Exception):
    """Something a person can mend; its text is one sentence that says what, where and what to do."""

    exit_code = 2


class BadRequest(HalfsplitError):
    """The request was wrong: unknown call, bad step, wrong unit, a file that is no record."""


class FaultFound(HalfsplitError):
    """The work was done and found a fault: a call that fails its proof, a record that does not replay."""

    exit_code = 1
