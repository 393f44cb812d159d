# Sourced by the scripts beside it: a display and a home of their own, and hands for one real window.
# Needs Xvfb, xdotool and awk. Sets `work`, a folder that is removed at the end, and `pid` and `window` once one is open.

work=$(mktemp -d)
pid='' window='' server=''

close_all() {
  for process in $pid $server; do
    kill "$process" 2>/dev/null || true
    wait "$process" 2>/dev/null || true
  done
  rm -rf "$work"
}
trap close_all EXIT

fail() {
  echo "$(basename "$0"): $*" >&2
  [ -s "$work/stderr" ] && sed 's/^/  the program said: /' "$work/stderr" >&2
  exit 1
}

# wait_for SECONDS COMMAND…: until the command succeeds.
wait_for() {
  local end=$((SECONDS + $1 + 1))
  shift
  until "$@"; do
    [ "$SECONDS" -lt "$end" ] || return 1
    sleep 0.01
  done
}

# start_display SIZE: an X server of that size on a free number.
start_display() {
  rm -f "$work/display"
  Xvfb -displayfd 3 -screen 0 "$1x24" -noreset -nolisten tcp 3>"$work/display" 2>/dev/null &
  server=$!
  wait_for 10 test -s "$work/display" || fail "Xvfb doesn't start"
  DISPLAY=:$(cat "$work/display")
  export DISPLAY HOME="$work" XDG_RUNTIME_DIR="$work/run" LIBGL_ALWAYS_SOFTWARE=1 WINIT_X11_SCALE_FACTOR=1
  export XDG_DATA_HOME="$work/data" XDG_CONFIG_HOME="$work/config" XDG_STATE_HOME="$work/state" XDG_CACHE_HOME="$work/cache"
  # No desktop answers: file choosers and screen readers of the person at this machine stay out of it.
  unset WAYLAND_DISPLAY WAYLAND_SOCKET DBUS_SESSION_BUS_ADDRESS
  mkdir -pm 700 "$XDG_RUNTIME_DIR"
}

stop_display() {
  kill $server
  wait $server 2>/dev/null || true
  server=''
}

# prefer THEME: as after a first start, with the cautions read and the notes done.
prefer() {
  mkdir -p "$XDG_DATA_HOME/chaffinch"
  cat >"$XDG_DATA_HOME/chaffinch/app.ron" <<END
{"chaffinch-preferences": "(theme: $1, cautions_read: true, hints_done: 255)"}
END
}

# The file is written in each frame; a read may fall into the middle of a write, so the last line must be there.
places() {
  local text
  for _ in $(seq 100); do
    text=$(cat "$work/places" 2>/dev/null || true)
    case $text in *frames\ *) echo "$text" && return ;; esac
    sleep 0.01
  done
  fail "no places of handles: does this binary write CHAFFINCH_PLACES?"
}

# place NUMBER: x and y of that point, in pixels.
place() {
  places | awk -v number="$1" '$1 == "point" && $2 == number { print $3, $4 }'
}

frames() {
  places | awk '$1 == "frames" { print $2 }'
}

has_drawn() {
  [ -s "$work/places" ] && [ "$(frames)" -ge 2 ]
}

is_visible() {
  window=$(xdotool search --onlyvisible --pid "$pid" 2>/dev/null | head -n 1)
  [ -n "$window" ]
}

# open_window BINARY PLAN: sets `start_ms`, the time until the second frame began in a visible window: by then the first
# one was on the screen.
open_window() {
  local begin
  rm -f "$work/places"
  begin=$(date +%s%N)
  CHAFFINCH_PLACES="$work/places" "$1" "$2" 2>"$work/stderr" &
  pid=$!
  wait_for 30 has_drawn || fail "no frame within 30 s"
  wait_for 30 is_visible || fail "no window within 30 s"
  start_ms=$((($(date +%s%N) - begin) / 1000000))
  # Without a window manager nobody else gives it the keys.
  xdotool windowfocus --sync "$window"
  settle
}

close_window() {
  kill "$pid"
  wait "$pid" 2>/dev/null || true
  pid=''
}

# Until nothing was drawn for half a second.
settle() {
  local before
  for _ in $(seq 40); do
    before=$(frames)
    sleep 0.5
    [ "$(frames)" = "$before" ] && return
  done
  fail "the window doesn't come to rest within 20 s"
}

# drag X Y DX DY: with the left button and small moves, as a hand does.
drag() {
  local steps=20
  xdotool mousemove --window "$window" "$1" "$2"
  sleep 0.2
  xdotool mousedown 1
  for step in $(seq $steps); do
    xdotool mousemove --window "$window" $(($1 + $3 * step / steps)) $(($2 + $4 * step / steps))
    sleep 0.02
  done
  sleep 0.2
  xdotool mouseup 1
  settle
}
