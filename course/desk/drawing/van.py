"""Sketch of the van: an outline, and two regions that the desk fills with tools and parts."""

from course.desk.drawing.paper import Paper
from course.desk.drawing.sketch import Sketch


def van(paper: Paper) -> dict[str, dict[str, float]]:
    """Draw the van from the side, opened; give back the regions for lists."""
    s = Sketch(paper)
    s.say(40, 0, "What is in the van", kind="title", shift=30)
    s.stroke((40, 420), (40, 60), (740, 60), (826, 190), (912, 222), (922, 420))
    s.stroke((40, 420), (132, 420))
    s.stroke((228, 420), (716, 420))
    s.stroke((812, 420), (922, 420))
    s.stroke((752, 84), (806, 184), (752, 184), closed=True, kind="thin")
    s.stroke((742, 62), (742, 420), kind="thin")
    for x in (180, 764):
        s.paper.circle(x, s.y(420), 40)
        s.paper.circle(x, s.y(420), 16, "thin")
    s.stroke((56, 76), (388, 76), (388, 366), (56, 366), closed=True, kind="thin")
    s.stroke((404, 76), (728, 76), (728, 366), (404, 366), closed=True, kind="thin")
    s.say(68, 76, "Tools", kind="title", shift=18)
    s.say(416, 76, "Parts", kind="title", shift=18)
    s.ground(30, 932, 470)
    high = s.y(366) - s.y(76) - 34
    return {
        "tools": {"x": 68.0, "y": s.y(76) + 28, "w": 308.0, "h": high},
        "parts": {"x": 416.0, "y": s.y(76) + 28, "w": 300.0, "h": high},
    }
