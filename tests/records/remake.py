"""Writes the corpus of records anew: `python tests/records/remake.py`. The expected messages beside them are written by hand."""

import hashlib
import json
from pathlib import Path

HERE = Path(__file__).parent
HEAD = {
    "schema": "halfsplit-record/1",
    "call": "dark_rack",
    "seal": "ab" * 32,
    "version": "0.1.0",
    "engine": "1",
    "step": 5,
    "grid": -20,
    "seed": 7,
    "units": "us",
}
READING = {"of": "Q5:1 Q5:3", "kind": "volts", "shown": "481.3", "unit": "V"}


def saw(text="done", kind="act", readings=(), minutes=0.5):
    return {"text": text, "kind": kind, "readings": list(readings), "minutes": minutes}


STEPS = [
    (1320, "look K5", saw("K5 is in", "sight")),
    (1350, "volts Q5:1 Q5:3", saw("481.3 V", "reading", [READING])),
    (1350, 'note "all three good"', saw("", "pad", minutes=0)),
    (1650, "wait 5", saw("", "time", minutes=5)),
]


def record(steps=STEPS, head=HEAD, change=None):
    """Bytes of a record; `change(n, line)` edits a line before it is chained."""
    rows = [json.dumps(head).encode()]
    for n, (t, step, seen) in enumerate(steps, 1):
        line = {
            "n": n,
            "t": t,
            "step": step,
            "saw": seen,
            "at": f"2026-01-05T03:{n:02}:10Z",
            "prev": hashlib.sha256(rows[-1]).hexdigest(),
        }
        rows.append(json.dumps(change(n, line) if change else line).encode())
    return b"\n".join(rows) + b"\n"


def at(number, **keys):
    return lambda n, line: {**line, **keys} if n == number else line


def without(number, key):
    return lambda n, line: {k: v for k, v in line.items() if k != key or n != number}


def main():
    whole = record()
    rows = whole.splitlines(keepends=True)
    good = {
        "whole": whole,
        "head-only": rows[0],
        "no-line-end": whole[:-1],
        "torn-in-text": whole[:-60],
        "torn-by-zeros": whole + b"\0" * 512,
        "torn-in-letter": whole + b'{"n": 5, "t": 1700, "step": "note caf\xc3',
        "continued": record(head={**HEAD, "prev": "cd" * 32}),
        "windows-line-ends": whole.replace(b"\n", b"\r\n"),
        "windows-without-line-end": whole.replace(b"\n", b"\r\n")[:-2],
        "windows-torn": whole.replace(b"\n", b"\r\n")[:-60],
        "byte-order-mark": b"\xef\xbb\xbf" + whole,
        "blank-lines-at-end": whole + b"\r\n \n\n",
        "clock-set-back": record(change=at(2, at="2026-01-05T02:00:00.125Z")),
    }
    bad = {
        "empty": b"",
        "torn-first-line": rows[0][:40],
        "reordered": b"".join([rows[0], rows[2], rows[1], *rows[3:]]),
        "line-removed": b"".join([*rows[:2], *rows[3:]]),
        "line-changed": whole.replace(b"481.3", b"480.3"),
        "line-twice": b"".join([*rows[:3], rows[2], *rows[3:]]),
        "utf-16": whole.decode().encode("utf-16"),
        "not-utf8": whole.replace(b"K5 is in", b"K5 \xff\xfe in"),
        "not-json-inside": whole.replace(rows[2], rows[2][:-5] + b"\n"),
        "blank-line": b"".join([*rows[:2], b"\n", *rows[2:]]),
        "nan": record(change=at(2, t=float("nan"))),
        "infinite": record(change=at(2, t=float("inf"))),
        "huge-number": whole.replace(b'"n": 2', b'"n": 1' + b"0" * 5000),
        "number-of-401-digits": record(change=at(2, t=10**400)),
        "minutes-of-401-digits": record(change=at(2, saw=saw(minutes=10**400))),
        "step-of-401-digits": record(head={**HEAD, "step": 10**400}),
        "grid-of-401-digits": record(head={**HEAD, "grid": -(10**400)}),
        "number-is-true": record(change=at(1, n=True)),
        "number-is-text": record(change=at(2, n="2")),
        "number-skips": record(change=at(3, n=4)),
        "time-runs-back": record(change=at(3, t=1300)),
        "time-negative": record(change=at(1, t=-5)),
        "key-missing": record(change=without(2, "saw")),
        "key-unknown": record(change=at(2, score=100)),
        "key-twice": whole.replace(b'"n": 2', b'"n": 2, "n": 2'),
        "step-in-two-lines": record(change=at(2, step="look K5\nlook M5")),
        "step-empty": record(change=at(2, step="")),
        "saw-kind-unknown": record(change=at(2, saw=saw(kind="truth"))),
        "reading-with-more": record(change=at(2, saw=saw(readings=[{**READING, "truth": 481.0}]))),
        "clock-not-utc": record(change=at(2, at="2026-01-05T03:02:10+01:00")),
        "clock-no-date": record(change=at(2, at="2026-02-30T03:02:10Z")),
        "half-a-letter": whole.replace(b"K5 is in", b"K5 \\ud800"),
        "deep": whole.replace(rows[2], b"[" * 9000 + b"]" * 9000 + b"\n"),
        "long-line": record([(1320, "look K5", saw("a" * 20_000))]),
        "a-list": b"[1, 2]\n",
        "a-notebook": b'{\n "cells": [],\n "nbformat": 4\n}\n',
        "schema-newer": record(head={**HEAD, "schema": "halfsplit-record/2"}),
        "head-without-seal": record(head={k: v for k, v in HEAD.items() if k != "seal"}),
        "head-with-score": record(head={**HEAD, "score": 100}),
        "seed-is-fraction": record(head={**HEAD, "seed": 7.5}),
    }
    for folder, files in (("good", good), ("bad", bad)):
        for name, data in files.items():
            (HERE / folder / f"{name}.jsonl").write_bytes(data)


if __name__ == "__main__":
    main()
