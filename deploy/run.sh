#!/usr/bin/env bash
# Serves with a database that needs nothing set up; arguments go to 'api serve'. With KITSPAN_DATABASE_URL that database is used;
# else 'api serve' starts a private PostgreSQL from the programs on the machine, installed if need be; else, where they cannot be
# installed but a container engine answers, one in a container is started here, and stopped at the end (its data stay in the volume
# kitspan-run).
set -Eeuo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
docker=${DOCKER:-docker}

if [ -n "${KITSPAN_DATABASE_URL:-}" ] || deploy/need.sh postgres; then
	exec bin/api serve "$@"
fi
"$docker" version >/dev/null 2>&1 || exit 1
image=$(deploy/postgres-image.sh)
password=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
# The volume outlives the password: on the way in from this machine alone, trust is what a private server gives too.
container=$("$docker" run --detach --rm --stop-signal SIGINT --publish 127.0.0.1::5432 --volume kitspan-run:/var/lib/postgresql/data \
	--env PGDATA=/var/lib/postgresql/data/cluster --env POSTGRES_PASSWORD="$password" --env POSTGRES_HOST_AUTH_METHOD=trust \
	--env POSTGRES_DB=kitspan --env POSTGRES_INITDB_ARGS=--locale=C.UTF-8 "$image")
trap '"$docker" stop "$container" >/dev/null' EXIT
trap : INT TERM # they go to 'api serve', and the container is stopped after it
port=$("$docker" port "$container" 5432/tcp | sed -n 's/.*://p' | head -1)
export KITSPAN_DATABASE_URL="postgres://postgres@127.0.0.1:$port/kitspan?sslmode=disable"
echo "run: PostgreSQL runs in container ${container:0:12} of $image" >&2
for _ in $(seq 300); do
	"$docker" exec "$container" pg_isready --quiet --host=127.0.0.1 && break
	sleep 0.2
done
bin/api migrate
bin/api seed
bin/api serve "$@"
