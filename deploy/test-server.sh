#!/usr/bin/env bash
# Runs a command with one PostgreSQL server for all database tests, after making sure that there is something to start it from:
#
#   test-server.sh COMMAND [ARGUMENT…]
#
# In a container where an engine answers, of the registry's image or of one built here from Debian packages; else a private server
# from the PostgreSQL programs on the machine, installed if need be. KITSPAN_TEST_SERVER=container or private takes the choice away,
# KITSPAN_TEST_DATABASE_URL gives a server that runs already. Which one it was is said before and after.
set -Eeuo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# Some tests are about the private server itself.
deploy/need.sh postgres

if [ -z "${KITSPAN_TEST_DATABASE_URL:-}" ]; then
	if [ -z "${KITSPAN_TEST_SERVER:-}" ]; then
		if "${DOCKER:-docker}" version >/dev/null 2>&1; then KITSPAN_TEST_SERVER=container; else KITSPAN_TEST_SERVER=private; fi
	fi
	if [ "$KITSPAN_TEST_SERVER" = container ] && [ -z "${KITSPAN_TEST_IMAGE:-}" ]; then
		if KITSPAN_TEST_IMAGE=$(deploy/postgres-image.sh); then
			export KITSPAN_TEST_IMAGE
		elif [ -n "${CI:-}" ]; then
			exit 1
		else
			echo "test-server: a container engine answers, but there is no image for it; going on with a private PostgreSQL" >&2
			KITSPAN_TEST_SERVER=private
		fi
	fi
	export KITSPAN_TEST_SERVER
fi
mkdir -p bin
go build -o bin/withserver ./internal/postgres/pgtest/withserver
exec bin/withserver "$@"
