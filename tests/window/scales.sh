#!/bin/bash
# Opens the real window at scales 1 to 3, each on a display of as many points, takes a picture of each, and checks that
# the window fills the display, that every point's hit area lies inside it, and that all lies where it lies at scale 1.
#
# Usage: scales.sh BINARY FOLDER [WIDTH HEIGHT]. Needs Xvfb, xdotool, awk and ImageMagick. The size is in points; default
# 1280 800.
set -euo pipefail
[ $# -eq 2 ] || [ $# -eq 4 ] || { sed -n '5p' "$0" >&2; exit 2; }
binary=$(realpath "$1") width=${3:-1280} height=${4:-800}
mkdir -p "$2"
pictures=$(realpath "$2")
plan=$(realpath "$(dirname "$0")/../../examples/notebook/plans/ember-ridge-filter.ron")
points=$(sed -n '/^  curve: (/,/^  ),/p' "$plan" | grep -c 'time_s')

. "$(dirname "$0")/display.sh"

# times SCALE NUMBER: the product in whole pixels.
times() {
  awk -v scale="$1" -v number="$2" 'BEGIN { printf "%d", scale * number }'
}

for scale in 1 1.25 1.5 2 3; do
  pixels_x=$(times "$scale" "$width") pixels_y=$(times "$scale" "$height")
  start_display "${pixels_x}x$pixels_y"
  export WINIT_X11_SCALE_FACTOR=$scale
  prefer Light
  open_window "$binary" "$plan"
  xdotool windowsize "$window" "$pixels_x" "$pixels_y"
  sleep 0.5
  settle
  import -window "$window" -strip "$pictures/scale-$scale.png"
  [ "$(identify -format '%wx%h' "$pictures/scale-$scale.png")" = "${pixels_x}x$pixels_y" ] ||
    fail "scale $scale: the window isn't $pixels_x x $pixels_y pixels"
  # In points, and less than one of them off: pixels are whole.
  places | awk -v scale="$scale" '$1 == "point" { print $2, $3 / scale, $4 / scale }' >"$work/now"
  [ -s "$work/first" ] || cp "$work/now" "$work/first"
  # A handle is 24 points wide to the hand; all of it must be inside.
  awk -v expected="$points" -v right="$width" -v bottom="$height" '
    function size(number) { return number < 0 ? -number : number }
    FNR == NR { x[$1] = $2; y[$1] = $3; next }
    {
      found++
      if ($2 < 12 || $2 > right - 12 || $3 < 12 || $3 > bottom - 12) { print "point " $1 " is outside"; exit 1 }
      if (size($2 - x[$1]) > 1 || size($3 - y[$1]) > 1) { print "point " $1 " lies elsewhere than at scale 1"; exit 1 }
    }
    END { if (found != expected) print found + 0 " points, expected " expected }' \
    "$work/first" "$work/now" >"$work/verdict" || true
  [ ! -s "$work/verdict" ] || fail "scale $scale: $(cat "$work/verdict")"
  [ ! -s "$work/stderr" ] || fail "scale $scale: the program wrote to standard error"
  close_window
  stop_display
  echo "scale $scale: $pixels_x x $pixels_y pixels, $points points inside, $pictures/scale-$scale.png"
done
