#!/usr/bin/env bash
# Runs tests, shuffled: first with the race detector, then what that leaves out without it.
#
#   tests.sh PACKAGE… [-- ARGUMENT…]     arguments are those of go test
#
# The detector makes arithmetic some eight times as slow, and finds something only where two goroutines meet. So these go without:
#   - packages of arithmetic, the slow second opinions (…/oracle) and the drawings (web/draw): their own tests start no goroutine; the
#     tests that share them between goroutines, of sizing, rest and web, run with it;
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
status=0
# shellcheck disable=SC2086
[ -z "$raced" ] || run -race "$@" $raced || status=1
# shellcheck disable=SC2086
[ -z "$plain" ] || run "$@" $plain || status=1
# shellcheck disable=SC2086
[ -z "$names" ] || run -run "^($names)\$" "$@" $left || status=1
exit $status
