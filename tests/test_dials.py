"""A dial takes only what is printed on it, and a jumper goes between two points."""


import pytest
from stores import corner_market

from scenarios.call import Session
from scenarios.compiling.warm import CALL
from scenarios.errors import BadRequest
from scenarios.faults.catalogue import catalogue
from scenarios.site import World
from scenarios.visit import scenery

STORE = corner_market()
PSI, ATMOSPHERE = 6894.757293168, 101325.0


@pytest.fixture
def session() -> Session:
    """At the open panel, with the pressure cut-outs a door away."""
    made = Session.open("walk_in_warm", 0)
    for line in ("go panel", "open DOOR"):
        made.do(line)
    return made


@pytest.mark.parametrize("value", ["0", "-1", "1000000", "2.69", "8.11"])
def test_an_overload_is_not_set_off_its_scale(session, value):
    before = session.t
    saw = session.do(f"set F5 {value}")
    assert saw.kind == "refused"
    assert saw.text == f"The dial of F5 goes from 2.7 to 8.1 A; it cannot be set to {value} A."
    assert session.t == before
    assert scenery.device(session.world, "F5").dial == 5.4
    session.do("wait 6")
    assert session.world.volts("X1", "X2") == pytest.approx(120.0, rel=0.05), "the network still runs"


@pytest.mark.parametrize("value", ["2.7", "4.4", "8.1"])
def test_both_ends_of_a_scale_are_on_it(session, value):
    assert session.do(f"set F5 {value}").kind == "act"
    assert session.do("read F5").text == f"Dial stands at {value} A, on a scale from 2.7 to 8.1 A."


@pytest.mark.parametrize(
    "line",
    [
        "set HP1 -500 psig",
        "set HP1 0",
        "set HP1 451 psig",
        "set HP1 31.1 barg",
        "set LP1 300 psig",
        "set LP1 -1",
        "set LP1 14.6 psia",
    ],
)
def test_a_cutout_is_not_set_off_its_scale(session, line):
    session.do("go motor_room")
    saw = session.do(line)
    assert saw.kind == "refused"
    assert f"The dial of {line.split()[1]} goes from" in saw.text


@pytest.mark.parametrize("line", ["set LP1 25", "set LP1 100 psig", "set LP1 14.7 psia", "set HP1 100", "set HP1 20 barg"])
def test_a_cutout_is_set_within_its_scale(session, line):
    session.do("go motor_room")
    assert session.do(line).kind == "act"


def test_every_fault_of_a_setting_can_be_set_right_and_lies_on_the_scale():
    """A setting that a fault gives a part is one that its dial shows."""
    seen = 0
    for fault in catalogue(STORE):
        for mend in fault.mends:
            if not mend.startswith("set "):
                continue
            mark = mend.split()[1]
            device = STORE.wiring.devices[mark]
            least, most = STORE.parts[mark].kind.dial.ends(device.ratings)
            for severity in range(fault.severities):
                world = World.at_rest(STORE, CALL, 0.0)
                world.apply(fault, severity)
                part = STORE.parts[mark]
                table, _, field = part.kind.dial.turns.partition(".")
                if table:
                    value = (float(getattr(world.plant, table)[field][part.row]) - ATMOSPHERE) / PSI
                else:
                    value = world.network.dial(mark)
                assert least <= value <= most, (fault.id, severity, value)
                seen += 1
    assert seen >= 10


# ---- jumpers --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("line", ["bridge K2:A1 K2:A1 anyway=yes", "bridge K2:A1 k2:a1", "bridge M5:T2 M5:T2"])
def test_a_jumper_from_a_point_to_itself_is_no_step(session, line):
    before, n = session.t, session.n
    with pytest.raises(BadRequest, match="is named twice; a jumper goes between two points"):
        session.do(line)
    assert (session.t, session.n) == (before, n)
    assert session.do("prove-meter").kind == "reading"


def test_a_second_jumper_between_the_same_points_is_refused(session):
    for mark in ("Q0", "Q8"):
        session.do(f"off {mark}")
    assert session.do("bridge K2:A1 K2:13 anyway=yes").kind == "act"
    before = session.t
    saw = session.do("bridge K2:13 K2:A1 anyway=yes")
    assert saw.text == "K2:13 to K2:A1: a jumper hangs there already; take it off, or choose two other points."
    assert session.t == before


def test_the_network_itself_refuses_a_path_from_a_point_to_itself():
    world = World.at_rest(STORE, CALL, 0.0)
    with pytest.raises(BadRequest, match="that is one terminal"):
        world.network.bridge("K2:A1", "K2:A1")
