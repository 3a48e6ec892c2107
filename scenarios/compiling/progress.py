"""The parts of a first preparation, as whoever waits is told of them."""

PARTS = {
    "wiring": ("network of the store", "meter", "ohms and insulation"),
    "plant": ("plant", "gauges", "plant and network on one clock"),
}
"""Groups that are prepared side by side; what comes last with the plant stands on the first part of both."""
HALF_WAY = "half way"
"""Line of a preparing process that its first part is done."""
LINES = {f"{group}: {title}": title for group, titles in PARTS.items() for title in titles}
"""What a preparation reports of each part when it begins, and the part."""
