#!/bin/sh
# Times 1,000 samples of value and derivative here and with SciPy, in turns on this machine, and compares the best median
# of three rounds of each: a busy machine only makes a round slower. Fails below 20 times as fast.
# Needs Python with numpy and scipy; PYTHON and CARGO name the programs to use.
set -eu
cd "$(dirname "$0")/../.."

python=${PYTHON:-python3} ours='' theirs=''
for _ in 1 2 3; do
  "${CARGO:-cargo}" bench -q -p chaffinch-curve --bench sampling -- sample_1000_value_and_rise >/dev/null
  ours="$ours $("$python" -c '
import json
with open("target/criterion/sample_1000_value_and_rise/new/estimates.json") as file:
    print(json.load(file)["median"]["point_estimate"])')"
  theirs="$theirs $("$python" tests/peers/pchip.py)"
done
"$python" -c '
import sys
ours, theirs = (min(map(float, medians.split())) for medians in sys.argv[1:])
ratio = theirs / ours
print(f"ours {ours:.0f} ns, SciPy {theirs:.0f} ns, ratio {ratio:.1f} (goal: at least 20)")
sys.exit(ratio < 20)' "$ours" "$theirs"
