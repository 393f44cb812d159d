#!/bin/bash
# The main job in the real window: open a plan, drag a point with the mouse, save, and see that exactly this point moved.
# Also: no frame and no work while idle, the time to the first frame, and one line of words where there is no display.
#
# Usage: drag-save-check.sh BINARY PLAN [POINT]. Needs Xvfb, xdotool, awk and diff. POINT counts from 1; default 5.
set -euo pipefail
[ $# -ge 2 ] || { sed -n '5p' "$0" >&2; exit 2; }
binary=$(realpath "$1") original=$(realpath "$2") point=${3:-5}
# The hand's way, in pixels: later and hotter.
right=24 down=-18
# For a release build; set it higher for another one.
most_start_ms=${MOST_START_MS:-1500}

. "$(dirname "$0")/display.sh"

# Time and temperature of a point in a plan file.
point_in() {
  sed -n '/^  curve: (/,/^  ),/p' "$1" | sed -n 's/.*time_s: \([0-9.]*\), temp_c: \([0-9.]*\).*/\1 \2/p' | sed -n "$2p"
}

# refuses VARIABLE…: started so, it says why in one line, names the command that needs no window, and fails.
refuses() {
  local code=0
  env -u WAYLAND_DISPLAY -u WAYLAND_SOCKET "$@" "$binary" "$original" >"$work/stdout" 2>"$work/stderr" || code=$?
  [ "$code" -ne 0 ] || fail "without a display the exit code is 0"
  [ "$(wc -l <"$work/stderr")" -eq 1 ] || fail "without a display it says more or less than one line"
  grep -q 'chaffinch export' "$work/stderr" || fail "without a display the headless command isn't named"
  ! grep -qi 'panicked\|backtrace' "$work/stderr" || fail "without a display it panics"
  rm "$work/stderr"
}

refuses -u DISPLAY
refuses DISPLAY=:9999
echo "no display, or one that doesn't answer: one line that names the headless command"

plan=$work/plan.ron
cp "$original" "$plan"
start_display 1280x800
open_window "$binary" "$plan"
# A busy machine is slow once, but hardly three times.
for _ in 2 3; do
  [ "$start_ms" -gt "$most_start_ms" ] || break
  close_window
  open_window "$binary" "$plan"
done
[ "$start_ms" -le "$most_start_ms" ] || fail "the first frame comes after $start_ms ms, expected $most_start_ms ms at most"
echo "first frame after $start_ms ms at most (goal $most_start_ms ms)"

# The first start shows the cautions, with the focus on their button.
xdotool key Return
settle

read -r x y <<<"$(place "$point")"
[ -n "$x" ] || fail "there is no point $point"
drag "${x%.*}" "${y%.*}" $right $down

ticks() { awk '{ print $14 + $15 }' "/proc/$pid/stat"; }
frames_before=$(frames) ticks_before=$(ticks)
sleep 5
frames_idle=$(($(frames) - frames_before)) ticks_idle=$(($(ticks) - ticks_before))
[ "$frames_idle" -eq 0 ] || fail "$frames_idle frames in 5 s of idleness, expected none"
[ "$ticks_idle" -le 2 ] || fail "$ticks_idle ticks of processor time in 5 s of idleness, expected 2 at most"
echo "idle for 5 s: $frames_idle frames, $ticks_idle ticks of processor time"

cmp -s "$original" "$plan" || fail "the file changed before it was saved"
xdotool key ctrl+s
differs() { ! cmp -s "$original" "$plan"; }
wait_for 5 differs || fail "Ctrl+S changed nothing in the file"
settle

changed=$(diff "$original" "$plan" | grep -c '^[<>]' || true)
[ "$changed" -eq 2 ] || fail "$changed changed lines, expected one before and one after: $(diff "$original" "$plan")"
before=$(point_in "$original" "$point") after=$(point_in "$plan" "$point")
[ "$before" != "$after" ] || fail "another point than $point moved: $(diff "$original" "$plan")"

# What the way of the hand means, from the pixels of two points that stayed; snapping takes up to half of 1 s and 0.5 °C,
# and a pixel may be lost at each end.
first=$(point_in "$original" 1) next=$(point_in "$original" $((point + 1)))
awk -v a="$(place 1) $first" -v b="$(place $((point + 1))) $next" -v from="$before" -v to="$after" \
  -v right=$right -v down=$down '
  function size(number) { return number < 0 ? -number : number }
  BEGIN {
    split(a, p); split(b, q); split(from, f); split(to, t)
    s_per_px = (q[3] - p[3]) / (q[1] - p[1]); c_per_px = (q[4] - p[4]) / (q[2] - p[2])
    time_s = f[1] + right * s_per_px; temp_c = f[2] + down * c_per_px
    printf "dragged from %s s, %s °C to %s s, %s °C; the hand went to %.2f s, %.2f °C\n", f[1], f[2], t[1], t[2], time_s, temp_c
    if (size(t[1] - time_s) > 0.5 + 2 * size(s_per_px) || size(t[2] - temp_c) > 0.25 + 2 * size(c_per_px)) exit 1
  }' || fail "the point isn't where the hand left it"

[ "$("$binary" summary "$original" --format json)" != "$("$binary" summary "$plan" --format json)" ] ||
  fail "the headless summary doesn't see the change"
[ ! -s "$work/stderr" ] || fail "the program wrote to standard error"
echo "saved: exactly point $point moved"
