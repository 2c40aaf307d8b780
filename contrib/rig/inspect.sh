#!/bin/sh
# Has the board in a place of the running bench inspected, and acts on the verdict: inspect.sh PLACE. Propellers off.
# Exit codes: 0 pass or warn, 1 fail, 3 anything else, 2 the bench refused or is away. Needs jq, and curl 7.82 or newer.
set -eu "${1:?is PLACE: its id, its name, or the device that is plugged in}"
socket=$(jq -re .socket "${PROPSOFF_BENCH__STATE:-${XDG_STATE_HOME:-$HOME/.local/state}/propsoff}/service.json") || exit 2
ask() { answer=$(curl -sS -m 150 --fail-with-body --unix-socket "$socket" "$@") || { printf %s "$answer" | jq -r .detail >&2; exit 2; }; printf %s "$answer"; }
places=http://bench/api/1/places
known=$(ask "$places")
id=$(printf %s "$known" | jq -r --arg word "$1" 'first(.[] | select([.place, .name, .plugged[].device] | index($word)) | .place) // ($word | @uri)')
begun=$(ask --json '{"named": true, "join": true}' "$places/$id/inspect")
report=$(ask "$places/$id/report?wait_s=120$(printf %s "$begun" | jq -r '.before // empty | "&after=" + .')")
printf %s "${report:-null}" | jq -r '"\(.verdict // "no report in time")", (.findings[]? | select(.outcome == "fail") | "  " + .summary)'
case $(printf %s "${report:-null}" | jq -r .verdict) in pass | warn) exit 0 ;; fail) exit 1 ;; *) exit 3 ;; esac
# A bench on another host, with its token: in `ask`, write `--oauth2-bearer "$(cat token)"` for `--unix-socket "$socket"`,
# and in `places` http://bench-2.example:8423 for http://bench.
