#!/bin/sh
# Names what object files want of others beyond each other and what every compiler brings (memcpy and its kin); fails if
# there is anything.
set -eu
wanted=$(nm -u -C "$@" | grep ' U ' | grep -vE ' U (lobewright::firmware::.*|mem(cpy|set|move|cmp))$' || true)
[ -z "$wanted" ] || { echo "wanted: $wanted"; exit 1; }
echo "nothing wanted"
