#!/bin/sh
# Entrypoint of the locally built PostgreSQL image (postgres-image.sh). It follows the usual convention:
#
#   POSTGRES_PASSWORD          the superuser's password, needed unless POSTGRES_HOST_AUTH_METHOD is trust
#   POSTGRES_USER              the superuser, default postgres
#   POSTGRES_DB                a database made at first start, default the superuser's name
#   POSTGRES_INITDB_ARGS       further arguments of initdb
#   POSTGRES_HOST_AUTH_METHOD  how clients from the network prove themselves, default scram-sha-256
#   PGDATA                     where the cluster lies
#
# The first three may be given as ..._FILE, naming a file that holds the value. Arguments go to the server.
set -eu

fail() { echo "postgres-entrypoint: $*" >&2; exit 1; }

from_file() { # NAME: takes NAME_FILE's contents for NAME
	eval "path=\${$1_FILE:-} value=\${$1:-}"
	[ -z "$path" ] && return
	[ -z "$value" ] || fail "give $1 or $1_FILE, not both"
	export "$1=$(cat "$path")"
	unset "$1_FILE"
}

case "${1:-postgres}" in
-*) set -- postgres "$@" ;;
esac
if [ "${1:-postgres}" != postgres ]; then
	exec "$@"
fi
[ $# -gt 0 ] && shift
[ "$(id -u)" != 0 ] || fail "PostgreSQL does not run as root: leave the image's user as it is"

from_file POSTGRES_USER
from_file POSTGRES_PASSWORD
from_file POSTGRES_DB
user=${POSTGRES_USER:-postgres}
database=${POSTGRES_DB:-$user}
method=${POSTGRES_HOST_AUTH_METHOD:-scram-sha-256}

# The last step of setting up writes this file, so that an interrupted first start begins afresh.
ready="$PGDATA/.set-up"
if [ ! -e "$ready" ] && [ ! -e "$PGDATA/postmaster.opts" ]; then
	[ -n "${POSTGRES_PASSWORD:-}" ] || [ "$method" = trust ] || fail "give POSTGRES_PASSWORD"
	mkdir -p "$PGDATA"
	chmod 700 "$PGDATA"
	# A cluster that no server has ever run on is half of one; anything else in the folder initdb refuses.
	[ ! -e "$PGDATA/PG_VERSION" ] || rm -rf "${PGDATA:?}"/*
	password=
	if [ -n "${POSTGRES_PASSWORD:-}" ]; then
		password=$(mktemp)
		(umask 077 && printf '%s\n' "$POSTGRES_PASSWORD" >"$password")
	fi
	# shellcheck disable=SC2086 # several arguments, by convention split at blanks
	initdb --pgdata "$PGDATA" --username "$user" ${password:+--pwfile "$password"} --auth-local trust --auth-host "$method" \
		--encoding UTF8 --locale C.UTF-8 --no-instructions ${POSTGRES_INITDB_ARGS:-}
	rm -f "$password"
	printf 'host all all all %s\n' "$method" >>"$PGDATA/pg_hba.conf"
	if [ "$database" != postgres ]; then
		quoted=$(printf '%s' "$database" | sed 's/"/""/g')
		printf 'CREATE DATABASE "%s"\n' "$quoted" | postgres --single -D "$PGDATA" postgres >/dev/null
	fi
	: >"$ready"
fi
unset POSTGRES_PASSWORD
exec postgres -D "$PGDATA" -c 'listen_addresses=*' "$@"
