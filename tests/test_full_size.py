"""The store of full size that the bench measures: it is as large as it says, passes the reader, is drawn, and is toured safely."""

import pytest

from course.bench_stores import FIRST, FULL, FULL_SIZE, Measured, open_cold
from course.desk.drawing import check
from graders import replaying
from scenarios.facts import SawKind
from scenarios.store import files
from scenarios.store.model import Store


@pytest.fixture(scope="module")
def store() -> Store:
    return files.load_file(FULL_SIZE)


def test_it_is_of_full_size(store: Store) -> None:
    """The sizes are the issue's, not ours."""
    assert (len(store.racks), len(store.groups), len(store.circuits), len(store.compressors)) == (2, 3, 24, 10)
    assert len({rack.refrigerant for rack in store.racks}) == 2
    assert {rack.condenser.part.kind.name for rack in store.racks} == {"condenser_evaporative", "condenser_air"}
    assert max(len(rack.fans) for rack in store.racks) > 1
    cold = min(store.groups, key=lambda group: group.suction_dew)
    assert cold.suction_dew == pytest.approx(-30.0, abs=2.0)
    assert all("heater" in circuit.has for circuit in cold.circuits)
    assert len(store.wiring.terminals) == pytest.approx(700, abs=30)


def test_it_is_drawn_without_a_complaint(store: Store) -> None:
    check.check(store)


@pytest.mark.parametrize("parts", [("K8",), ("M31", "M16"), ("SV20", "EH20"), ("K15",)])
def test_the_tour_is_safe_in_the_sound_world(store: Store, parts: tuple[str, ...]) -> None:
    """A low-temperature machine, a fan of either condenser, a frozen case with its heater, the spray pump."""
    session = FULL.session()
    lines = replaying.tour_in(store, parts)
    saws = [(line, session.do(line)) for line in lines]
    assert len(saws) > 40
    assert [line for line, saw in saws if saw.kind == SawKind.INCIDENT] == []


@pytest.mark.parametrize("which", [FIRST, FULL], ids=lambda which: which.title)
def test_a_call_opens_in_it(which: Measured) -> None:
    open_cold(which)
