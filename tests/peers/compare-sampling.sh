#!/bin/sh
# Times 1,000 samples of value and derivative here and with SciPy, one after the other on this machine, and prints the
# ratio of the medians. Needs Python with numpy and scipy; PYTHON and CARGO name the programs to use.
set -eu
cd "$(dirname "$0")/../.."

ours=$("${CARGO:-cargo}" bench -q -p chaffinch-curve --bench sampling -- sample_1000_value_and_rise >/dev/null &&
    "${PYTHON:-python3}" -c '
import json
with open("target/criterion/sample_1000_value_and_rise/new/estimates.json") as file:
    print(json.load(file)["median"]["point_estimate"])')
theirs=$("${PYTHON:-python3}" tests/peers/pchip.py)
"${PYTHON:-python3}" -c '
import sys
ours, theirs = map(float, sys.argv[1:])
print(f"ours {ours:.0f} ns, SciPy {theirs:.0f} ns, ratio {theirs / ours:.1f} (goal: at least 20)")' "$ours" "$theirs"
