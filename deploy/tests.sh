#!/usr/bin/env bash
# Runs tests, shuffled: with the race detector, then what that leaves out without it; and beside both the tests of arithmetic, so that no
# core idles while a test waits for a database, a browser or a clock.
#
#   tests.sh PACKAGE… [-- ARGUMENT…]     arguments are those of go test
#
# The detector makes arithmetic some eight times as slow, and finds something only where two goroutines meet. So these go without:
#   - packages of arithmetic, the slow second opinions (…/oracle) and the drawings (web/draw): their own tests start no goroutine. The
#     tests of sizing, which share them between goroutines, have them compiled for the detector; all other raced packages do not, and
#     still have it in all that is not arithmetic;
#   - files that begin with //go:build !race: long arithmetic in one goroutine, in packages whose other tests run with it. Their tests
#     run without it afterwards, and so do those that do less under it (raceOn).
set -Eeuo pipefail

packages=()
while [ $# -gt 0 ] && [ "$1" != -- ]; do
	packages+=("$1")
	shift
done
[ $# = 0 ] || shift
export CGO_ENABLED=1 # which the detector needs; one setting for both, so that less is built twice
all=$(go list "${packages[@]}")
unraced='/(geom|sun|light|lighting|placement|rigging|anchorage|overhead|scene|sharedkit|shot|text|oracle|web/draw)$'
shares='/sizing$' # with the detector in the arithmetic, too
raced=$(grep -Ev "$unraced" <<<"$all" || true)
plain=$(grep -E "$unraced" <<<"$all" || true)

# What is left of the raced packages: those with such files, and the names of their tests, as a pattern of -run.
tested() { # FLAG… : the files of tests that a build takes
	# shellcheck disable=SC2086 # one word a package
	go list "$@" -f '{{$dir := .Dir}}{{range .TestGoFiles}}{{$.ImportPath}} {{$dir}}/{{.}}{{"\n"}}{{end}}{{range .XTestGoFiles}}{{$.ImportPath}} {{$dir}}/{{.}}{{"\n"}}{{end}}' $raced | sort
}
left=
names=
if [ -n "$raced" ]; then
	files=$(
		comm -13 <(tested -race) <(tested)
		tested -race | while read -r package file; do ! grep -q '\braceOn\b' "$file" || echo "$package $file"; done
	)
	left=$(cut -d ' ' -f 1 <<<"$files" | sort -u)
	names=$(cut -d ' ' -f 2 <<<"$files" | xargs -r sed -n 's/^func \(\(Test\|Fuzz\|Example\)[A-Za-z0-9_]*\)(.*/\1/p' | sort -u | paste -sd '|')
fi

# The time limit is that of a hang: a package takes minutes under the detector on a busy machine. Vetting is left to make lint.
run() { # FLAG… PACKAGES
	go tool -modfile=tools/go.mod gotestsum --format pkgname-and-test-fails --format-hide-empty-pkg -- -shuffle=on -vet=off -timeout 25m "$@"
}
# The packages that a pattern names first, which take longest: go test starts them in this order.
first() { # PATTERN PACKAGES
	local pattern=$1
	shift
	printf '%s\n' "$@" | grep -E "$pattern" || true
	printf '%s\n' "$@" | grep -Ev "$pattern" || true
}
status=0

# Beside the others, in a process group of its own, which ends with this one; it is shown when it is done.
beside=
if [ -n "$plain" ]; then
	shown=$(mktemp)
	trap '[ -z "$beside" ] || kill -- "-$beside" 2>/dev/null || true; rm -f "$shown"' EXIT
	set -m
	# shellcheck disable=SC2046,SC2086 # one word a package
	run "$@" $(first '/oracle$' $plain) >"$shown" 2>&1 &
	beside=$!
	set +m
fi

# The compiler takes the last of two flags that contradict each other, and -gcflags come after those of -race.
bare=()
while read -r package; do
	[ -z "$package" ] || bare+=("-gcflags=$package=-race=false")
done < <(go list ./internal/... | grep -E "$unraced")
shared=$(grep -E "$shares" <<<"$raced" || true)
other=$(grep -Ev "$shares" <<<"$raced" || true)
# shellcheck disable=SC2046,SC2086
[ -z "$other" ] || run -race "${bare[@]}" "$@" $(first '/(web|cmd/api|postgres|rest)$' $other) || status=1
# shellcheck disable=SC2086
[ -z "$shared" ] || run -race "$@" $shared || status=1
# shellcheck disable=SC2046,SC2086
[ -z "$names" ] || run -run "^($names)\$" "$@" $(first '/(web|sizing)$' $left) || status=1
if [ -n "$beside" ]; then
	wait "$beside" || status=1
	beside=
	cat "$shown"
fi
exit $status
