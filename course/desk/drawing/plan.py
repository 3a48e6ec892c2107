"""Which sheet a part is on, which line a rung has, and what a point is called: one answer for every viewport."""

from dataclasses import dataclass, field

from course.desk.drawing.paper import Paper
from course.desk.drawing.structure import Block, Circuit
from scenarios.electrical.wiring import Wiring


@dataclass
class Spec:
    """What one wiring sheet holds."""

    id: str
    title: str
    blocks: list[Block]
    circuits: list[Circuit]
    halves: int = 0
    """Circuits of the left ladder, where two narrow ladders share the sheet."""
    taps: list[Block] = field(default_factory=list)
    """Columns on other sheets whose taps the bus of this one shows."""
    number: int = 0


@dataclass
class Plan:
    """The wiring list with its sheets numbered; ``number`` is the sheet being drawn."""

    wiring: Wiring
    specs: list[Spec] = field(default_factory=list)
    tapped: list[Block] = field(default_factory=list)
    """Columns that hang on the bus."""
    number: int = 1
    home: dict[str, int] = field(default_factory=dict)
    """Sheet on which a part stands: in a power column, else where its coil or load is."""
    coil_line: dict[str, str] = field(default_factory=dict)
    coil_sheet: dict[str, int] = field(default_factory=dict)
    contact_lines: dict[str, list[tuple[str, bool]]] = field(default_factory=dict)
    """Lines of a coil's contacts, and whether they break."""
    seen: dict[str, list[int]] = field(default_factory=dict)
    """Sheets on which a part appears."""
    rail_home: dict[str, int] = field(default_factory=dict)
    """First sheet that shows a rail as a point; there the point has the plain name."""

    @property
    def rails_as_points(self) -> set[str]:
        """Control rails: met as a point wherever they appear."""
        return {name for name, rail in self.wiring.rail_kinds.items() if rail.kind in ("hot", "return")}

    @property
    def number_of_bus(self) -> int:
        """Sheet on which the phases are made."""
        return next((s.number for s in self.specs for b in s.blocks if set(b.exits.values()) & set(self.wiring.phases)), 1)

    def source_of(self, rail: str) -> int:
        """Sheet on which a control rail begins."""
        return next((s.number for s in self.specs for b in s.blocks if rail in b.exits.values()), 1)

    def feeds_bus(self, block: Block) -> bool:
        """Whether a block makes the bus."""
        return bool(block.exits) and set(self.wiring.phases) <= set(block.exits.values())

    def spoken(self, terminal: str) -> str:
        """What a screen reader says for a terminal."""
        mark, name = terminal.split(":")
        says = f"{mark} terminal {name}, {self.wiring.devices[mark].says}"
        for element in self.wiring.elements:
            if element.device == mark and terminal in (element.a, element.b):
                if element.role == "pole":
                    return f"{says}, {'line' if terminal == element.a else 'load'} side, pole {element.pole + 1}"
                words = {"no": "make contact", "nc": "break contact", "coil": "coil"}
                return f"{says}, {words[element.symbol]}" if element.symbol in words else says
        return says

    def rail_point(self, paper: Paper, rail: str, x: float, y: float) -> str:
        """Place a point on a rail; met again it is called ``X1@3``, or ``X1@3b`` the second time on a sheet."""
        kind = self.wiring.rail_kinds[rail].kind
        says = {"hot": "control supply", "return": "control return", "neutral": "neutral", "earth": "earth", "phases": "bus"}[kind]
        same = sum(point["node"] == rail for point in paper.points)
        id = (
            rail
            if self.rail_home.get(rail, self.number) == self.number and not same
            else f"{rail}@{self.number}{'_bcdefgh'[same].strip('_')}"
        )
        return paper.point(id, x, y, f"{rail}, {says}", rail, node=rail, family="rail")

    def wire_name(self, a: str, b: str) -> str:
        """Name of the wire between two terminals or rails."""
        return next(wire.name for wire in self.wiring.wires_at[a] if b in (wire.a, wire.b))

    def settle(self) -> None:
        """Number sheets and lines, and note where every part is."""
        for number, spec in enumerate(self.specs, 1):
            spec.number = number
            rungs = [rung for circuit in spec.circuits for rung in circuit.rungs]
            for line, rung in enumerate(rungs, 1):
                rung.line = f"{number}{line}" if len(rungs) < 10 else f"{number}{line:02d}"
            self._note(spec)
        for spec in self.specs:
            for circuit in spec.circuits:
                for cell in (cell for rung in circuit.rungs for cell in rung.cells):
                    self.home.setdefault(cell.element.device, spec.number)

    def _note(self, spec: Spec) -> None:
        for mark in (mark for block in spec.blocks for mark in block.devices):
            self.home[mark] = spec.number
            self._see(mark, spec.number)
        for rail in {self.wiring.earth} if spec.blocks else set():
            self.rail_home.setdefault(rail, spec.number)
        for rail in [r for b in spec.blocks for r in b.feed.values() if r in self.rails_as_points]:
            self.rail_home.setdefault(rail, spec.number)
        for circuit in spec.circuits:
            for rail in (circuit.hot, circuit.back):
                self.rail_home.setdefault(rail, spec.number)
            for rung in circuit.rungs:
                for cell in rung.cells:
                    element = cell.element
                    self._see(element.device, spec.number)
                    if element.symbol == "coil":
                        self.coil_line[element.device], self.coil_sheet[element.device] = rung.line, spec.number
                        self.home.setdefault(element.device, spec.number)
                    elif element.role == "contact":
                        self.contact_lines.setdefault(element.device, []).append((rung.line, element.symbol == "nc"))

    def _see(self, mark: str, number: int) -> None:
        if number not in self.seen.setdefault(mark, []):
            self.seen[mark].append(number)
