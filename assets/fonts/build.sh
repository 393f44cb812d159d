#!/bin/sh
# Makes the two bundled fonts from Inter. See README.md in this folder for origin and versions.
# Usage: ./build.sh [folder of Inter-Regular.otf and Inter-SemiBold.otf]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
source_folder=${1:-/usr/share/fonts/opentype/inter}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Fixed, so that two runs give the same bytes.
export SOURCE_DATE_EPOCH=1609459200

python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet "fonttools==4.68.0" "opentype-feature-freezer==1.32.2"

# Latin with extensions, combining marks, Greek, Cyrillic, Vietnamese, punctuation with primes, super- and subscripts,
# currency, letterlike, arrows, mathematical operators, box shapes.
ranges="U+0020-007E,U+00A0-024F,U+0259,U+02B0-02FF,U+0300-036F,U+0370-03FF,U+0400-052F,U+1E00-1EFF,U+2000-206F"
ranges="$ranges,U+2070-209F,U+20A0-20BF,U+2100-214F,U+2190-21FF,U+2200-22FF,U+25A0-25FF,U+2713,U+2717,U+FEFF,U+FFFD"

for weight in Regular SemiBold; do
  # Tabular figures become the default ones, so that columns of numbers stand still while they change.
  "$work/venv/bin/pyftfeatfreeze" --features tnum --replacenames "Inter/Chaffinch Sans" \
    "$source_folder/Inter-$weight.otf" "$work/$weight.otf"
  "$work/venv/bin/pyftsubset" "$work/$weight.otf" --output-file="$work/subset-$weight.otf" \
    --unicodes="$ranges" --layout-features=kern,mark,mkmk,ccmp,locl --name-IDs=0,1,2,3,4,5,6,13,14,16,17 \
    --desubroutinize --no-hinting --drop-tables+=DSIG
  # The reserved name also stands in the Compact Font Format table and in spaceless PostScript names.
  "$work/venv/bin/python" - "$work/subset-$weight.otf" "$here/ChaffinchSans-$weight.otf" "$weight" <<'PYTHON'
import sys
from fontTools.ttLib import TTFont

source, target, weight = sys.argv[1:]
font = TTFont(source, recalcTimestamp=False)
postscript = f"ChaffinchSans-{weight}"
for record in list(font["name"].names):
    if record.nameID == 3:
        record.string = f"1.000;{postscript}"
    elif record.nameID == 6:
        record.string = postscript
cff = font["CFF "].cff
cff.fontNames[0] = postscript
top = cff.topDictIndex[0]
top.FamilyName, top.FullName, top.Weight = "Chaffinch Sans", f"Chaffinch Sans {weight}", weight
# One semi-bold figure is three units narrower than the other tabular ones; make them equal.
figures = [font.getBestCmap()[ord(figure)] for figure in "0123456789"]
width = max(font["hmtx"][name][0] for name in figures)
for name in figures:
    font["hmtx"][name] = (width, font["hmtx"][name][1])
font.save(target)
PYTHON
done
ls -l "$here"/*.otf
