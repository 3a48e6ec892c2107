"""Preparation: two processes compile side by side, and what they leave is joined without mixing indexes."""

from pathlib import Path

import pytest

from scenarios import kernel


def put(folder: Path, name: str, *codes: str) -> None:
    """One function as the compiler files it: an index and numbered code."""
    (folder / "physics").mkdir(exist_ok=True)
    (folder / "physics" / f"{name}.nbi").write_text(f"index of {folder.name}")
    for n, code in enumerate(codes, 1):
        (folder / "physics" / f"{name}.{n}.nbc").write_text(code)


def test_is_a_function_of_both_kept_whole(tmp_path: Path) -> None:
    wiring, plant = tmp_path / "wiring", tmp_path / "plant"
    wiring.mkdir()
    plant.mkdir()
    put(wiring, "exact.exp-12.py311", "by wiring")
    put(plant, "exact.exp-12.py311", "by plant", "second of plant")
    put(plant, "rack.step[1]-30.py311", "rack")
    kernel.merge(plant, wiring)
    left = {file.name: file.read_text() for file in (wiring / "physics").iterdir()}
    assert left == {
        "exact.exp-12.py311.nbi": "index of wiring",
        "exact.exp-12.py311.1.nbc": "by wiring",
        "rack.step[1]-30.py311.nbi": "index of plant",
        "rack.step[1]-30.py311.1.nbc": "rack",
    }


@pytest.mark.slow
def test_prepared_folder_is_whole_and_every_part_is_told(tmp_path: Path) -> None:
    lines: list[str] = []
    folder = tmp_path / "kernel"
    kernel.prepare(folder, lines.append)
    assert kernel.is_prepared(folder)
    assert {line.split()[0] for line in lines} == {"wiring", "plant", "rest"}
    assert [path.name for path in tmp_path.iterdir()] == ["kernel"]
    victim = next(folder.rglob("*.nbc"))
    victim.write_bytes(victim.read_bytes()[:-1])
    assert not kernel.is_prepared(folder)
