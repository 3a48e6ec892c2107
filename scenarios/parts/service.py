"""The service entrance: where the utility's three lines come in."""

from scenarios.parts.common import LOOK, Fault, kind

kind(
    name="service",
    title="service entrance",
    out=("L1", "L2", "L3"),
    acts=(LOOK,),
    faults={
        "phase_lost": Fault(
            "phase", "open_inside", "occasional", "$says, line $n lost upstream", {"electrical phase_lost $i": True}, ()
        ),
    },
)
