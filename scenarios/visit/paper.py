"""What voice and pen do: the telephone, the pad and the work order. Nothing here changes the store."""

from scenarios.facts import FactKind
from scenarios.faults.modes import MODES
from scenarios.steps import Step
from scenarios.visit.outcome import Act, Outcome, Refused, Scene


def phone(scene: Scene, step: Step) -> Outcome:
    """Ask or tell somebody."""
    who, how, topic = step.args
    lines = {line["id"]: line for line in scene.call["people"][who]["lines"]}
    line = lines.get(f"{how} {topic}")
    if line is None:
        raise Refused(f"{who.capitalize()} has no such line; there are {', '.join(lines)}.")
    scene.person.said.append({"t": scene.t, "who": who, "line": line["id"]})
    return Outcome(f"“{line['reply']}”", [(FactKind.TOLD, who, {"topic": topic})] if how == "tell" else [])


def suspect(scene: Scene, step: Step) -> Outcome:
    """Put a suspect on the pad."""
    row = {
        "part": step.args[0],
        "mode": step.args[1],
        "at": step.options.get("at", ""),
        "why": step.options.get("why", ""),
        "crossed": False,
        "t": scene.t,
    }
    scene.person.pad.suspects.append(row)
    return Outcome(f"Suspect: {step.args[0]} {MODES[step.args[1]]}.")


def cross(scene: Scene, step: Step) -> Outcome:
    """Cross a suspect off."""
    for row in scene.person.pad.suspects:
        if (row["part"], row["mode"]) == step.args[:2] and step.options.get("at", row["at"]) == row["at"] and not row["crossed"]:
            row["crossed"] = True
            return Outcome(f"Crossed off: {row['part']} {MODES[row['mode']]}.")
    raise Refused("That suspect is not on your pad.")


def note(scene: Scene, step: Step) -> Outcome:
    """Write on the pad."""
    scene.person.pad.notes.append({"t": scene.t, "text": step.args[0]})
    return Outcome(step.args[0])


def answer(scene: Scene, step: Step) -> Outcome:
    """Answer a sum; the last answer counts."""
    question, number, unit = step.args
    scene.person.pad.answers[question] = {"value": float(number), "unit": unit, "n": scene.n}
    return Outcome(f"{question}: {number} {unit}.", [(FactKind.ANSWERED, question, {"value": float(number), "unit": unit})])


def cause(scene: Scene, step: Step) -> Outcome:
    """Name the cause and what made it fail; the last name counts."""
    part, mode = step.args
    named = {"part": part, "mode": mode, "where": step.options.get("at", ""), "reason": step.options.get("why", ""), "n": scene.n}
    scene.person.pad.cause = named
    return Outcome(f"Cause: {part} {MODES[mode]}.", [(FactKind.NAMED, part, dict(named))])


def order(scene: Scene, step: Step) -> Outcome:
    """Fill a field of the work order; the last text counts."""
    name, text = step.args
    scene.person.pad.order[name] = text
    return Outcome(f"{name}: {text}", [(FactKind.ORDER, name, {"text": text})])


def close_out(scene: Scene, step: Step) -> Outcome:
    """End the call."""
    if not scene.person.on_site:
        raise Refused("You have not been there yet.")
    return Outcome("Closed out.", [(FactKind.CLOSED_OUT, "", {})])


PAPER: dict[str, Act] = {
    "phone": phone, "suspect": suspect, "cross": cross, "note": note, "answer": answer, "cause": cause, "order": order,
    "close-out": close_out,
}  # fmt: skip
"""Verbs of voice and pen."""
