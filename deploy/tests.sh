#!/usr/bin/env bash
# Runs tests, shuffled and with the race detector; the slow second opinion on sizing without it: that is reckoning alone, which the
# detector makes six times as slow, and what it reckons on is tested for races where it is.
#
#   tests.sh PACKAGE… [-- ARGUMENT…]     arguments are those of go test
set -Eeuo pipefail

packages=()
while [ $# -gt 0 ] && [ "$1" != -- ]; do
	packages+=("$1")
	shift
done
[ $# = 0 ] || shift
all=$(go list "${packages[@]}")
raced=$(grep -v '/sizing/oracle$' <<<"$all" || true)
plain=$(grep '/sizing/oracle$' <<<"$all" || true)

# The time limit is that of a hang: a package takes minutes under the detector on a busy machine.
run() { # FLAG… PACKAGES
	go tool -modfile=tools/go.mod gotestsum --format pkgname-and-test-fails --format-hide-empty-pkg -- -shuffle=on -timeout 25m "$@"
}
status=0
# shellcheck disable=SC2086 # one word a package
[ -z "$raced" ] || CGO_ENABLED=1 run -race "$@" $raced || status=1
# shellcheck disable=SC2086
[ -z "$plain" ] || run "$@" $plain || status=1
exit $status
