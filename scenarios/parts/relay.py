"""A control relay, its coil at A1 and A2."""

from scenarios.facts import EventKind
from scenarios.parts.common import ARMATURE_STUCK, COIL_FAULTS, CONTROL_JOINT, LOOK, hums, kind, magnet
from scenarios.parts.contactor import look

kind(
    name="relay",
    title="relay",
    coil=True,
    ratings={"coil_volts": 120.0, "VA": 3.0},
    look=look,
    listen=hums,
    warmth=magnet,
    heard={EventKind.PULLS_IN: "{0} pulls in with a clunk", EventKind.LETS_GO: "{0} lets go", EventKind.CHATTERS: "{0} chatters"},
    acts=(LOOK,),
    spare="control relay",
    minutes=10.0,
    faults={**ARMATURE_STUCK, **CONTROL_JOINT, **COIL_FAULTS},
)
