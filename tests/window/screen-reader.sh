#!/bin/bash
# The window through a screen reader's bus (AT-SPI): every point has a name and a value, no control that takes the focus
# is without a name, and a value that is set through the bus moves the point.
#
# Usage: screen-reader.sh BINARY PLAN. Needs Xvfb, xdotool, awk, dbus-daemon, dbus-send, at-spi2-core, and the system's
# Python with python3-gi and gir1.2-atspi-2.0.
set -euo pipefail
[ $# -eq 2 ] || { sed -n '5p' "$0" >&2; exit 2; }
binary=$(realpath "$1") original=$(realpath "$2") folder=$(realpath "$(dirname "$0")")

. "$folder/display.sh"

plan=$work/plan.ron
cp "$original" "$plan"
start_display 1280x800
prefer Light

# A session bus and an accessibility bus of their own; display.sh ends them.
dbus-daemon --session --nofork --print-address=3 3>"$work/bus" 2>/dev/null &
server+=" $!"
wait_for 10 test -s "$work/bus" || fail "the session bus doesn't start"
DBUS_SESSION_BUS_ADDRESS=$(cat "$work/bus")
export DBUS_SESSION_BUS_ADDRESS
/usr/libexec/at-spi-bus-launcher --launch-immediately --a11y=1 >/dev/null 2>&1 &
server+=" $!"
# Asking the launcher itself would make the session bus start a second one, which doesn't know --a11y=1; so ask the bus.
launcher_is_there() {
  dbus-send --session --print-reply --dest=org.freedesktop.DBus /org/freedesktop/DBus \
    org.freedesktop.DBus.NameHasOwner string:org.a11y.Bus 2>/dev/null | grep -q true
}
wait_for 10 launcher_is_there || fail "the accessibility bus doesn't start"

# The registry is started by the first who asks for it; a window that asks while it starts may never be listed.
registry_answers() {
  timeout 10 /usr/bin/python3 -c '
import gi
gi.require_version("Atspi", "2.0")
from gi.repository import Atspi
Atspi.get_desktop(0).get_child_count()' >/dev/null 2>&1
}
wait_for 20 registry_answers || fail "the registry of accessible programs doesn't start"

open_window "$binary" "$plan"
timeout 60 /usr/bin/python3 "$folder/screen_reader.py" || fail "a screen reader can't work with this window"
