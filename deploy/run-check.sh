#!/usr/bin/env bash
# Checks run.sh with PostgreSQL in a container, on a volume and ports of its own: it serves, nobody comes to the database without the
# password of this start, also where the volume is of a version that let everybody in, and SIGTERM stops the container too. Where no
# engine answers it says so and passes.
set -Eeuo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
docker=${DOCKER:-docker}
say() { echo "run-check: $*" >&2; }
fail() { say "FAILED: $*"; exit 1; }
trap 'say "FAILED at line $LINENO"' ERR
"$docker" version >/dev/null 2>&1 || { say "no container engine answers: nothing was checked"; exit; }
image=$(deploy/postgres-image.sh)

work=$(mktemp -d)
export KITSPAN_RUN_SERVER=container KITSPAN_RUN_VOLUME=kitspan-run-check-$$ KITSPAN_DATA_DIR=$work/data
unset KITSPAN_DATABASE_URL
run=
container=
clean() {
	[ -z "$run" ] || kill "$run" 2>/dev/null || true
	[ -z "$container" ] || "$docker" rm --force "$container" >/dev/null 2>&1 || true
	"$docker" volume rm "$KITSPAN_RUN_VOLUME" >/dev/null 2>&1 || true
	rm -rf "$work"
}
trap clean EXIT

begin() { # starts run.sh and waits until it serves; sets run, container and the database's port
	deploy/run.sh --addr 127.0.0.1:0 >"$work/out" 2>"$work/err" &
	run=$!
	for _ in $(seq 300); do
		grep -q 'listens on' "$work/out" && break
		kill -0 "$run" 2>/dev/null || { cat "$work/err" >&2; fail "run.sh ended"; }
		sleep 0.2
	done
	container=$(sed -n 's/^run: PostgreSQL runs in container \([0-9a-f]*\) of.*/\1/p' "$work/err")
	port=$("$docker" port "$container" 5432/tcp | sed -n 's/.*://p' | head -1)
	curl --silent --fail --output /dev/null "$(sed -n 's/.*listens on //p' "$work/out")/readyz" || fail "not ready"
}
end() {
	local api
	api=$(pgrep --parent "$run" --full 'bin/api serve' || true)
	kill -TERM "$run" ${api:+"$api"}
	wait "$run" || fail "run.sh ended with $?: $(cat "$work/err")"
	run=
	for _ in $(seq 50); do
		"$docker" inspect "$container" >/dev/null 2>&1 || break
		sleep 0.2
	done
	! "$docker" inspect "$container" >/dev/null 2>&1 || fail "the container goes on after run.sh"
}
# From another container's place on the network and from this machine alike.
letsIn() { PGCONNECT_TIMEOUT=5 bin/api items quayside --database-url "postgres://postgres$1@127.0.0.1:$port/kitspan?sslmode=disable" >/dev/null 2>&1; }

begin
! letsIn "" || fail "the database asks for no password"
! letsIn ":wrong" || fail "the database takes any password"
end

# A cluster as earlier versions made it.
"$docker" run --rm --volume "$KITSPAN_RUN_VOLUME:/var/lib/postgresql/data" --entrypoint sh "$image" -c \
	'sed -i "s/^\(host .* \)scram-sha-256$/\1trust/" /var/lib/postgresql/data/cluster/pg_hba.conf && grep -q "^host all all all trust$" /var/lib/postgresql/data/cluster/pg_hba.conf'
begin
! letsIn "" || fail "an earlier version's database asks for no password"
end
say "all is as promised"
