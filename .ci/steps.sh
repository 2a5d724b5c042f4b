# Sourced by run and long: steps, each with its output in a log that is printed when
# it ends, with its time. A step that fails fails the run; its log is printed last.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
# Short runs: less time for more memory, least of all collected while something is built. Half
# of a run on a bare machine is building, and a quarter of that would be what only debuggers read.
export TZ=UTC GOGC=400 build_gc=off build_memory=3GiB
GOFLAGS="$(go env GOFLAGS) -gcflags=all=-dwarf=false"
export GOFLAGS
export cache="${XDG_CACHE_HOME:-$HOME/.cache}/cotline-ci"
mkdir -p "$cache/bin"
export PATH="$cache/bin:$PATH"
logs=$(mktemp -d)
trap 'rm -rf "$logs"' EXIT
started=$SECONDS

# step NAME: run the function of that name, print its log in one piece, keep its
# result. It runs in a shell of its own: bash ignores -e in what is tested. Of a core's time
# what a browser's own processes take is not told: nobody waits for them.
step() {
  local name=$1 from=$SECONDS took busy result=ok TIMEFORMAT='%U %S'
  { time bash -euo pipefail -c "$(declare -f); $name" >"$logs/$name.log" 2>&1; } 2>"$logs/$name.busy" || result=FAILED
  took=$((SECONDS - from))
  busy=$(awk '{ printf "%d", $1 + $2 }' "$logs/$name.busy")
  exec 9>"$logs/printing"
  flock 9 # one log at a time
  printf '\n== %s: %s after %d s, %d s of a core (%s)\n' "$name" "$result" "$took" "$busy" "$(date +%T)"
  cat "$logs/$name.log"
  printf '%d\t%d\t%d\t%s\t%s\n' $((from - started)) "$took" "$busy" "$result" "$name" >>"$logs/results"
  exec 9>&-
  [ "$result" = ok ]
}

# pool AT-ONCE STEP…: so many side by side, the next as soon as one ends, whatever becomes
# of each.
pool() {
  local name most=$1
  shift
  for name in "$@"; do
    while [ "$(jobs -pr | wc -l)" -ge "$most" ]; do wait -n || true; done
    step "$name" &
  done
  wait
}

# finish prints the logs of what failed, then every step with its time.
finish() {
  local failed=0 name from took busy result
  while IFS=$'\t' read -r from took busy result name; do
    [ "$result" = ok ] && continue
    failed=1
    printf '\n== the log of %s, which failed\n' "$name"
    cat "$logs/$name.log"
  done <"$logs/results"
  printf '\n%-12s %8s %8s %8s\n' step 'from, s' 'took, s' 'core, s'
  sort -n "$logs/results" | while IFS=$'\t' read -r from took busy result name; do
    printf '%-12s %8d %8d %8d  %s\n' "$name" "$from" "$took" "$busy" "$result"
  done
  printf '%-12s %8s %8d %8s  %s\n' all '' $((SECONDS - started)) '' "$([ $failed = 0 ] && echo ok || echo FAILED)"
  return $failed
}

install() { # install PACKAGE…: those of Debian that are missing
  local missing=() package
  for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return
  apt-get -qq update
  DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends "${missing[@]}" >/dev/null
}

# fuzzed BINARY FOLDER TARGET TIME: one target. Up to Go 1.26 the engine may take the end of
# the time for a failure (golang/go#75804): where that is all it says, and it kept no
# input, the target runs once more, and must hold. A hundred tries at cutting an input
# down, not a minute in which nothing else is tried.
fuzzed() {
  local said
  said=$(mktemp)
  for _ in 1 2; do
    if (cd "$2" && "$1" -test.run '^$' -test.fuzz "^$3\$" -test.fuzztime "$4" -test.parallel 1 -test.fuzzminimizetime 100x \
      -test.fuzzcachedir "$cache/fuzz/$2") 2>&1 | tee "$said"; then
      return 0
    fi
    grep -A1 -- "^--- FAIL: $3" "$said" | grep -q '^ *context deadline exceeded$' && ! grep -q 'Failing input' "$said" || return 1
  done
  return 1
}

# fuzz TIME: every target for so long, on one core, since others run beside it. Each package
# is built once for all of its targets. Our own code alone guides the engine: with -fuzz all
# that is linked would, which has to be built anew, and tries a quarter as much in its time.
fuzz() {
  local folder target targets=0 built
  built=$(mktemp -d)
  for folder in $(git grep -lE '^func Fuzz' -- '*_test.go' | xargs -n1 dirname | sort -u); do
    GOGC=$build_gc GOMEMLIMIT=$build_memory go test -c -ldflags="-s -w" -gcflags=cotline/...=-d=libfuzzer -o "$built/fuzz.test" "./$folder"
    for target in $(git grep -hoE '^func Fuzz[A-Za-z0-9_]+' -- "$folder/*_test.go" ":!$folder/*/*" | sed 's/func //'); do
      fuzzed "$built/fuzz.test" "$folder" "$target" "$1"
      targets=$((targets + 1))
    done
  done
  rm -rf "$built"
  echo "$targets targets"
  [ $targets -gt 0 ]
}

# using IMPORT: the packages whose tests import it.
using() { go list -f '{{.ImportPath}} {{.Imports}} {{.TestImports}} {{.XTestImports}}' ./... | grep -F "$1" | cut -d' ' -f1; }
