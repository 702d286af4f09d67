#!/usr/bin/env bash
# Runs tests, shuffled: first with the race detector, then what that leaves out without it.
#
#   tests.sh PACKAGE… [-- ARGUMENT…]     arguments are those of go test
#
# The detector makes arithmetic some eight times as slow, and finds something only where two goroutines meet. So these go without:
#   - the slow second opinions (…/oracle) and the drawings (web/draw): pure functions that start no goroutine; the tests that share them
#     between goroutines, of sizing, rest and web, run with it;
#   - files that begin with //go:build !race: long arithmetic in one goroutine, in packages whose other tests run with it. Their packages
#     run once more without it, and in full: other tests may do less under the detector.
set -Eeuo pipefail

packages=()
while [ $# -gt 0 ] && [ "$1" != -- ]; do
	packages+=("$1")
	shift
done
[ $# = 0 ] || shift
export CGO_ENABLED=1 # which the detector needs; one setting for both, so that less is built twice
all=$(go list "${packages[@]}")
unraced='/oracle$|/web/draw$'
raced=$(grep -Ev "$unraced" <<<"$all" || true)
left_out() { # FLAG… : the files of tests that a build leaves out
	# shellcheck disable=SC2086 # one word a package
	go list "$@" -f '{{range .IgnoredGoFiles}}{{$.ImportPath}} {{.}}{{"\n"}}{{end}}' $all | grep '_test\.go$' | sort
}
plain=$({
	grep -E "$unraced" <<<"$all" || true
	comm -13 <(left_out) <(left_out -race) | cut -d ' ' -f 1
} | sort -u)

# The time limit is that of a hang: a package takes minutes under the detector on a busy machine. Vetting is left to make lint.
run() { # FLAG… PACKAGES
	go tool -modfile=tools/go.mod gotestsum --format pkgname-and-test-fails --format-hide-empty-pkg -- -shuffle=on -vet=off -timeout 25m "$@"
}
status=0
# shellcheck disable=SC2086
[ -z "$raced" ] || run -race "$@" $raced || status=1
# shellcheck disable=SC2086
[ -z "$plain" ] || run "$@" $plain || status=1
exit $status
