#!/bin/sh
# Times batch roasts here and by others that solve the same equations, in turns on one core in one run, and prints a table.
# Fails when a floor is broken (tests/peers/roasts/compare.py names the aims and the floors) or an error is too large.
#
#   compare-roasts.sh         numba, SciPy's LSODA, SUNDIALS' CVODE by scikit-sundae: about a minute beside the building, for the gate
#   compare-roasts.sh full    CVODE from C and diffsol as well, more rounds
#
# Needs Python with what tests/requirements.txt names; PYTHON and CARGO name the programs to use. `full` also needs a C compiler,
# SUNDIALS' headers (Debian: libsundials-dev, some 150 packages with what it pulls in) and some minutes to build diffsol.
set -eu
cd "$(dirname "$0")/../.."
python=${PYTHON:-python3} cargo=${CARGO:-cargo} folder=target/peers
mkdir -p $folder

# The benchmark's binary, from cargo's own messages.
bench=$("$cargo" bench -q -p chaffinch-twin --bench batch --no-run --locked --message-format json |
  "$python" -c '
import json, sys
lines = [json.loads(line) for line in sys.stdin if line.startswith("{")]
print([line["executable"] for line in lines if line.get("executable") and line["target"]["name"] == "batch"][-1])')

if [ "${1:-}" != full ]; then
  exec "$python" tests/peers/roasts/compare.py "$bench" $folder --short --rounds 3
fi
cc -O3 -march=native tests/peers/roasts/cvode.c -o $folder/cvode \
  -lsundials_cvode -lsundials_nvecserial -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lm
RUSTFLAGS='-C target-cpu=native' "$cargo" build -q --release --locked --target-dir $folder --manifest-path tests/peers/diffsol/Cargo.toml
exec "$python" tests/peers/roasts/compare.py "$bench" $folder --program $folder/cvode --program $folder/release/chaffinch-peer-diffsol
