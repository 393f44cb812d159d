"""What a screen reader finds in the window; started by screen-reader.sh, on its bus.

Every point is named "Point 1 of N" and has a value in its range, everything that takes the focus has a name, and a value
set through the bus is the point's value afterwards.
"""

import re
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi  # noqa: E402  (the version comes first)


def wait_for(find):
    """What `find` gives as soon as it gives something, for at most 15 s."""
    end = time.monotonic() + 15
    while time.monotonic() < end:
        Atspi.get_desktop(0).clear_cache()
        if found := find():
            return found
        time.sleep(0.2)
    sys.exit("nothing came on the bus within 15 s")


def application():
    desktop = Atspi.get_desktop(0)
    children = (desktop.get_child_at_index(index) for index in range(desktop.get_child_count()))
    return next((child for child in children if child and child.get_name() == "chaffinch"), None)


def nodes(parent):
    for index in range(parent.get_child_count()):
        if child := parent.get_child_at_index(index):
            yield child
            yield from nodes(child)


def points(window):
    found = ((re.fullmatch(r"Point (\d+) of (\d+)", node.get_name() or ""), node) for node in nodes(window))
    return [(int(match[1]), int(match[2]), node) for match, node in found if match]


def fail(text):
    sys.exit(f"screen_reader.py: {text}")


window = wait_for(application)
wait_for(lambda: points(window))

controls = [node for node in nodes(window) if node.get_state_set().contains(Atspi.StateType.FOCUSABLE)]
nameless = [node.get_role_name() for node in controls if not (node.get_name() or "").strip()]
if nameless:
    fail(f"{len(nameless)} of {len(controls)} controls have no name: {', '.join(nameless)}")

handles = points(window)
count = handles[0][1]
if [(number, of) for number, of, _ in handles] != [(number, count) for number in range(1, count + 1)]:
    fail(f"expected points 1 to {count}, found {[(number, of) for number, of, _ in handles]}")
for number, _, node in handles:
    if "Value" not in node.get_interfaces():
        fail(f"point {number} has no value")
    least, now, most = (
        read(node)
        for read in (Atspi.Value.get_minimum_value, Atspi.Value.get_current_value, Atspi.Value.get_maximum_value)
    )
    if not least < now < most:
        fail(f"point {number}: {now} isn't between {least} and {most}")

middle = handles[count // 2][2]
wished = Atspi.Value.get_current_value(middle) - 1.0
if not Atspi.Value.set_current_value(middle, wished):
    fail("a point's value can't be set")
wait_for(lambda: abs(Atspi.Value.get_current_value(middle) - wished) < 1e-6)

print(f"a screen reader finds {len(controls)} controls, all with a name, and {count} points with values; setting one moves it")
