"""The parts of a first preparation, as whoever waits is told of them."""

PARTS = {
    "wiring": ("network of the store", "plant and network on one clock"),
    "plant": ("plant", "gauges", "meter", "ohms and insulation"),
}
"""Groups that are prepared side by side; the second part of each may stand on the first of the other."""
HALF_WAY = "half way"
"""Line of a preparing process that its first part is done."""
LINES = {f"{group}: {title}": title for group, titles in PARTS.items() for title in titles}
"""What a preparation reports of each part when it begins, and the part."""
