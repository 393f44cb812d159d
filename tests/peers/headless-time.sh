#!/bin/sh
# Wall time of opening a plan, exporting it and exiting, without a window: median of 50 runs. Goal: 30 ms or less.
# Usage: headless-time.sh [BINARY]; run it from the repository's top folder after `cargo build --release`.
set -eu
binary=${1:-target/release/chaffinch}
runs=50
folder=$(mktemp -d)
trap 'rm -r "$folder"' EXIT

for _ in $(seq $runs); do
  begin=$(date +%s%N)
  "$binary" export examples/notebook/plans/ember-ridge-filter.ron -o "$folder/curve.json" > /dev/null
  end=$(date +%s%N)
  echo $((end - begin))
done | sort -n | awk -v runs="$runs" '
  { times[NR] = $1 / 1e6 }
  END {
    median = (times[runs / 2] + times[runs / 2 + 1]) / 2
    printf "open, export, exit: median %.1f ms, fastest %.1f ms, slowest %.1f ms of %d runs (goal 30 ms)\n",
      median, times[1], times[runs], runs
    exit median > 30
  }'
