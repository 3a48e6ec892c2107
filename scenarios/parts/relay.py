"""A control relay, its coil at A1 and A2."""

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
    heard={"pulls in": "{0} pulls in with a clunk", "lets go": "{0} lets go", "chatters": "{0} chatters"},
    acts=(LOOK,),
    spare="control relay",
    minutes=10.0,
    faults={**ARMATURE_STUCK, **CONTROL_JOINT, **COIL_FAULTS},
)
