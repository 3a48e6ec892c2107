"""Words that a screen offers and shows in every call alike."""

from graders.rubric import DEFAULT, TITLES

SCORED = [[f"{points:g}", TITLES[part].lower()] for part, points in DEFAULT.weights.items()]
"""Parts of the score with their points, as the rubric has them."""
TOOLS = (
    "Meter, volts and ohms",
    "Three clamps with max hold",
    "Insulation tester, 500 V",
    "Thermometer, two probes, wick",
    "Gauges, two hoses",
    "Infrared thermometer",
    "Locks and tags",
    "Hand tools, torque driver",
)
"""What every van holds besides its parts."""
FIELD_TITLES = {
    "why": "Why it failed",
    "evidence": "How I know",
    "did": "What I did",
    "left": "Left as",
    "temporary": "Temporary",
    "until": "Until",
    "whose": "Whose",
    "food": "Food",
    "told": "Told",
}
"""Fields of the work order in the order of the paper."""
OFFERS = {
    "left": [
        "Running, all in automatic",
        "Running on one temporary measure",
        "Running in part; product moved",
        "Off and locked; product moved",
    ],
    "temporary": ["None"],
    "until": ["The morning visit", "The spare is fitted"],
    "whose": ["Morning technician", "Dispatcher", "Store manager", "Mine: I come back"],
    "told": ["Night manager and dispatcher", "Night manager", "Dispatcher", "Second person"],
    "food": ["Product temperatures with times given to the manager; the store decides", "No product over its limit"],
}
"""Usual words for fields of the work order, the same in every call; anything else may be written."""
NEEDED = ("why", "did", "left", "temporary", "food", "told")
"""Fields that are named as open while they are empty."""
UNIT_WORDS = {"F-difference": "°F", "-": ""}
"""Units of answers as they are shown, where that differs."""
