#!/bin/bash
# Takes the README's pictures of the real window.
#
# Usage: pictures.sh BINARY FOLDER. Needs Xvfb, xdotool, awk and ImageMagick (import, compare).
set -euo pipefail
[ $# -eq 2 ] || { sed -n '4p' "$0" >&2; exit 2; }
binary=$(realpath "$1")
mkdir -p "$2"
pictures=$(realpath "$2")
examples=$(realpath "$(dirname "$0")/../../examples")
plans=$examples/notebook/plans

. "$(dirname "$0")/display.sh"

# show THEME WIDTH HEIGHT [PLAN]: a plan, or else the notebook's first, in a window of that size.
show() {
  prefer "$1"
  open_window "$binary" "${4:-$plans/ember-ridge-filter.ron}"
  xdotool windowsize "$window" "$2" "$3"
  sleep 0.5
  settle
}

# point_at NUMBER: lays the pointer on a point.
point_at() {
  read -r x y <<<"$(place "$1")"
  x=${x%.*} y=${y%.*}
  xdotool mousemove --window "$window" "$x" "$y"
  settle
}

# take NAME: a picture of the window, which is then closed.
take() {
  import -window "$window" -strip -define png:exclude-chunks=date,time "$pictures/$1.png"
  close_window
  echo "$pictures/$1.png"
}

# tick X Y: clicks a box there, and fails if nothing changes.
tick() {
  xdotool mousemove --window "$window" "$1" "$2"
  settle
  import -window "$window" "$work/before.png"
  xdotool click 1
  settle
  import -window "$window" "$work/after.png"
  [ "$(compare -metric AE "$work/before.png" "$work/after.png" null: 2>&1)" != 0 ] || fail "there is nothing to tick at $1, $2"
}

start_display 1920x1080

show Light 1280 800
point_at 7
take window-light

show Light 1000 640
point_at 7
take window-narrow

show Light 1920 1080
point_at 7
take window-large

# A drag that its neighbour stops, with the button still held.
show Dark 1280 800
point_at 5
xdotool mousedown 1
for step in $(seq 10); do
  xdotool mousemove --window "$window" $((x + 13 * step)) $((y - 2 * step))
  sleep 0.02
done
settle
take window-dark
xdotool mouseup 1

show Light 1280 800
xdotool key ctrl+p
settle
point_at 7
take window-drawer

# Without a desktop's file chooser the program asks for a path, beginning with the plan's folder.
show Light 1920 1080
xdotool key ctrl+l
# The cursor in the field blinks, so the window doesn't come to rest.
sleep 1
xdotool type --delay 20 ember-ridge-espresso.ron
xdotool key Return
settle
tick 30 927 # "Difference in the rise lane"; mend this when the column changes.
point_at 7
take window-compare

# type_path PATH: answers the question for a path that stands in for a file chooser.
type_path() {
  # The cursor in the field blinks, so the window doesn't come to rest.
  sleep 1
  xdotool key ctrl+a
  xdotool type --delay 10 "$1"
  xdotool key Return
  settle
}

# press X Y: presses a button there.
press() {
  xdotool mousemove --window "$window" "$1" "$2"
  settle
  xdotool click 1
}

# carried_to Y PATH: takes a sheet out of a file by the button at height Y of the left column.
carried_to() {
  press 120 "$1"
  type_path "$2"
}

# Heights of the buttons "Coffee from file…", "Machine from file…", "Room from file…"; mend these when the column changes.
coffee_y=133 machine_y=161 room_y=189

# The three stories, on their plans and sheets.
story() {
  show Light 1280 800 "$1"
  xdotool key ctrl+r
  settle
  carried_to $coffee_y "$2"
  if [ $# -eq 4 ]; then
    carried_to $machine_y "$3"
    carried_to $room_y "$4"
  fi
  # Off the buttons, so that no tooltip hides anything.
  xdotool mousemove --window "$window" 560 620
  settle
}

story "$plans/low-meadow-espresso.ron" "$examples/notebook/lots/ember-ridge-by-altitude.ron"
take story-1
story "$plans/low-meadow-espresso.ron" "$examples/notebook/lots/ember-ridge-measured.ron"
take story-2
story "$examples/stories/up-the-mountain/kitchen.ron" "$examples/notebook/lots/ember-ridge-small-batch.ron" \
  "$examples/notebook/machines/small-120-v.ron" "$examples/notebook/rooms/upland-room.ron"
take story-3

show Light 1280 800 "$plans/willow-terrace-filter.ron"
xdotool key ctrl+r
settle
carried_to $coffee_y "$examples/notebook/lots/ember-ridge-by-altitude.ron"
xdotool mousemove --window "$window" 560 620
settle
take window-carry

show Dark 1280 800
xdotool key ctrl+g
settle
# "From file…" below the list of targets; mend its place when the panel changes.
xdotool mousemove --window "$window" 1100 400
for _ in $(seq 40); do xdotool click 5; done
# Scrolling glides to its end.
sleep 1
settle
press 990 516
type_path "$examples/notebook/targets/longer-browning.ron"
xdotool mousemove --window "$window" 560 620
settle
take window-shape
