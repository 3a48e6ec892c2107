"""A motor protector: opens a contact when the motor's winding is too hot, and comes back by itself."""

from scenarios.parts.common import AUX_BURNT, CONTROL_JOINT, COVER, LOOK, kind

kind(
    name="motor_protector",
    title="motor protector",
    acts=(LOOK, *COVER, "bridge {p}:M1 {p}:M2:Bridge contact"),
    spare="motor protector",
    minutes=20.0,
    safety=True,
    faults={**CONTROL_JOINT, **AUX_BURNT},
)
