#!/bin/sh
# Lets every step of a save fail once, by the kernel's hand, and sees that no half-written file takes the old one's place.
# Usage: save.sh [BINARY]; run it from the repository's top folder. Needs Linux and strace 4.16 or newer.
set -eu
binary=${1:-target/release/chaffinch}
plan=examples/notebook/plans/ember-ridge-filter.ron
folder=$(mktemp -d)
trap 'rm -r "$folder"' EXIT
target="$folder/curve.json"
faults=0

command -v strace > /dev/null || { echo "strace is not installed" >&2; exit 2; }
"$binary" export "$plan" -o "$folder/new.json" > /dev/null

# try FAULT EXPECTED_EXIT EXPECTED_CONTENT(old|new) EXPECTED_WORD
try() {
  printf 'old' > "$target"
  code=0
  strace -qq -o "$folder/trace" -e trace=openat,write,fsync,renameat -e "inject=$1" \
    "$binary" export "$plan" -o "$target" > "$folder/out" 2> "$folder/err" || code=$?
  case $3 in
    old) printf 'old' | cmp -s - "$target" && kept=yes || kept=no ;;
    new) cmp -s "$folder/new.json" "$target" && kept=yes || kept=no ;;
  esac
  if [ "$code" -eq "$2" ] && [ "$kept" = yes ] && grep -q "$4" "$folder/err" "$folder/out" \
    && grep -q INJECTED "$folder/trace"; then
    echo "$1: as expected"
  else
    echo "$1: exit code $code, $3 content: $kept" >&2
    cat "$folder/err" >&2
    faults=$((faults + 1))
  fi
}

try write:error=ENOSPC:when=1 1 old "No space left"
try write:error=EIO:when=1 1 old "nput/output error"
try write:error=EINTR:when=1 0 new "Written to"
try fsync:error=EIO:when=1 1 old "nput/output error"
try fsync:error=ENOSPC:when=2 1 old "No space left"
try renameat:error=EACCES:when=1 1 old "ermission denied"
try renameat:error=EROFS:when=1 1 old "ead-only file system"
# The folder can't be flushed: the new file is whole and in place, and the fault is told.
try fsync:error=EIO:when=3 1 new "nput/output error"

exit "$((faults > 0))"
