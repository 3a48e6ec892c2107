"""A key as one variant of its call has it: words filled in, and joined with what the engine worked out of it.

Words in ``$`` are the variant's. A ``$question`` in an entry's ``answer question $question unit`` is the sum that this entry's own
readings make there: it stands in the derived file, so that no key writes a sum down.
"""

from collections.abc import Iterator, Mapping
from string import Template
from typing import Any

TAKEN = ("exemplars", "attempts")
"""Lists of a key whose entries are steps that are taken."""


def numbered(holder: Mapping[Any, Any], n: int) -> dict[str, Any]:
    """What stands under the number of a variant; YAML gives it as a number, JSON as text."""
    found: dict[str, Any] = holder.get(n, holder.get(str(n), {}))
    return found


def variant(key: Mapping[str, Any], n: int, derived: Mapping[str, Any]) -> dict[str, Any]:
    """A key with the words of one variant, joined with what a derived file says; where that says nothing the key stands alone.

    Parameters
    ----------
    key : mapping
        Content of the key file.
    n : int
        Number of the variant. [-]
    derived : mapping
        Content of the derived file, or as much of it as is worked out.
    """
    own, follows = numbered(key.get("variants", {}), n), numbered(derived.get("variants", {}), n)
    words = {**key.get("words", {}), **own.get("words", {})}
    told = {name: value for name, value in key.items() if name not in ("variants", *TAKEN)}
    told.update({name: value for name, value in own.items() if name != "words"})
    told = {name: filled(value, words) for name, value in told.items()}
    for name in TAKEN:
        told[name] = [filled(entry, {**words, **follows.get("sums", {}).get(entry["id"], {})}) for entry in key.get(name, [])]
    told["suspects"], told["inseparable"] = follows.get("suspects", []), follows.get("inseparable", [])
    if "minutes" in derived:
        told["goals"] = {**told["goals"], "economy": {**told["goals"]["economy"], "minutes": derived["minutes"]}}
    for attempt in told["attempts"]:
        attempt["score"] = derived.get("attempts", {}).get(attempt["id"], {})
    return told


def filled(value: Any, words: Mapping[str, Any]) -> Any:
    """Text with ``$word`` filled in, however deep it lies."""
    if isinstance(value, str):
        return Template(value).safe_substitute({k: str(v) for k, v in words.items()})
    if isinstance(value, list):
        return [filled(item, words) for item in value]
    if isinstance(value, dict):
        return {filled(k, words): filled(v, words) for k, v in value.items()}
    return value


def asked(line: str) -> str:
    """Question whose sum a step answers as worked out; empty for every other step.

    >>> asked("answer superheat $superheat F-difference"), asked("answer overload 4.4 A")
    ('superheat', '')
    """
    words = line.split()
    return words[1] if len(words) > 2 and words[0] == "answer" and words[2] == f"${words[1]}" else ""


def unknown_words(key: Mapping[str, Any]) -> Iterator[tuple[tuple[Any, ...], str]]:
    """Every ``$word`` of a taken step that nothing fills in, by its place."""
    variants = key.get("variants", {}) or {"0": {}}
    common = set.intersection(*({*key.get("words", {}), *own.get("words", {})} for own in variants.values()))
    for name in TAKEN:
        for k, entry in enumerate(key[name]):
            for i, line in enumerate(entry["steps"]):
                for word in Template(line).get_identifiers():
                    if word not in common and word != asked(line):
                        yield (name, k, "steps", i), word
