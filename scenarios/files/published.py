"""Published calls, frozen: what a published call asks and what its key insists on never changes; a fix is a call of a new id.

``published.yaml`` lists every call that was ever published with the digest of call and key. What is derived is not under it: a
better engine may work out another number.
"""

from typing import Any

from scenarios.files import callfile, derivedfile, yamlfile
from scenarios.files.yamlfile import HERE

LIST = "published.yaml"


def listed() -> dict[str, str]:
    """Digest of every published call by its id."""
    found: dict[str, str] = yamlfile.load(HERE / LIST) or {}
    return found


def digest(call: dict[str, Any], key: dict[str, Any]) -> str:
    """Sixteen hex digits over what a call and its key say."""
    return derivedfile.short({name: value for name, value in call.items() if name != "status"}, key)


def status(call_id: str) -> str:
    """Draft or published, as its call file says; what says nothing is published."""
    return str(callfile.load_call(call_id).get("status", "published"))


def problem(call_id: str) -> str:
    """What is wrong between a call and the list of published ones, and what to do; empty where nothing is."""
    frozen = listed()
    if call_id not in callfile.names("call"):
        return f"{call_id}: published, and its file is gone; put it back, for records of it are graded by it"
    if status(call_id) == "draft":
        return f"{call_id}: published, and now a draft; take `status: draft` out" if call_id in frozen else ""
    now = digest(callfile.load_call(call_id), callfile.load_key(call_id))
    if call_id not in frozen:
        return f"{call_id}: no draft, and not in scenarios/{LIST}; add the line `{call_id}: {now}`, or `status: draft` to the call"
    if frozen[call_id] != now:
        return (
            f"{call_id}: published, and its call or key says another thing than then ({now}, published {frozen[call_id]}); "
            f"put it back and make the change in a call of a new id with `replaces: {call_id}`"
        )
    return ""
