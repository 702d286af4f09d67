#!/usr/bin/env bash
# Brings compose.yaml up for real under names, passwords and ports of its own, and checks what it promises: a shot is sized and the staff
# writes; roles and containers may do no more than they must; a database that hangs is reported as unavailable; stopping under load loses no
# request. Takes everything down again. Where no engine answers it says so and passes. KITSPAN_IMAGE names the image, else one is made of
# bin/linux/api.
set -Eeuo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
docker=${DOCKER:-docker}

say() { echo "compose-check: $*" >&2; }
fail() { say "FAILED: $*"; exit 1; }
trap 'say "FAILED at line $LINENO"' ERR

lack() {
	say "$1: nothing was checked"
	[ -z "${CI:-}" ] && exit
	exit 1
}
"$docker" version >/dev/null 2>&1 || { say "no container engine answers: nothing was checked"; exit; }
if "$docker" compose version >/dev/null 2>&1; then
	compose=("$docker" compose)
elif command -v docker-compose >/dev/null; then
	compose=(docker-compose)
else
	lack "an engine answers, but there is neither 'docker compose' nor docker-compose (Debian's package of that name)"
fi

own_image=
if [ -z "${KITSPAN_IMAGE:-}" ]; then
	own_image=kitspan-check:$$
	export KITSPAN_IMAGE=$own_image
	"$docker" build --quiet --tag "$KITSPAN_IMAGE" --file deploy/Containerfile . >/dev/null 2>&1 || fail "the image cannot be built: 'make bin/linux/api' first"
fi
work=$(mktemp -d)
project=kitspan-check-$$
compose+=(-f deploy/compose.yaml -p "$project")
clean() {
	"$docker" unpause "${project}_postgres_1" "${project}-postgres-1" >/dev/null 2>&1 || true
	"${compose[@]}" down --volumes --timeout 10 >/dev/null 2>&1 || say "could not take $project down"
	[ -z "$own_image" ] || "$docker" rmi "$own_image" >/dev/null 2>&1 || true
	rm -rf "$work"
}
trap clean EXIT

deploy/env.sh "$work/env" 2>/dev/null
set -a
# shellcheck disable=SC1091 # made the line before
. "$work/env"
KITSPAN_POSTGRES_IMAGE=$(deploy/postgres-image.sh)
KITSPAN_PORT=0 # any that is free
KITSPAN_METRICS_PORT=0
set +a

"${compose[@]}" up -d >"$work/up" 2>&1 || { cat "$work/up" >&2; fail "it does not come up"; }
base=http://$("${compose[@]}" port api 8080)
curl() { command curl --silent --show-error --max-time 60 "$@"; }
for _ in $(seq 100); do
	curl --fail --output /dev/null "$base/readyz" 2>/dev/null && break
	sleep 0.2
done
curl --fail --output /dev/null "$base/readyz" || { "${compose[@]}" logs >&2; fail "the api is not ready"; }

container() { "${compose[@]}" ps --quiet --all "$1" 2>/dev/null || "${compose[@]}" ps --quiet "$1"; }
inspect() { "$docker" inspect --format "$2" "$(container "$1")"; }

status() { curl --output "$work/body" --write-out '%{http_code}' "$@"; }
expect() { # STATUS WHAT CURL-ARGUMENT…
	local want=$1 what=$2 got
	shift 2
	got=$(status "$@")
	[ "$got" = "$want" ] || fail "$what: status $got, want $want: $(head -c 500 "$work/body")"
}
# Counters are not for everybody who reaches the program.
expect 401 "/metrics without the token" "$base/metrics"
expect 200 "/metrics on its own port" "http://$("${compose[@]}" port api 9090)/metrics"
json='Content-Type: application/json'
staff="Authorization: Bearer $KITSPAN_STAFF_TOKEN"
example=@docs/examples/02-letter-close-up.json

"${compose[@]}" run --rm api seed >/dev/null 2>&1 || fail "seed"
expect 200 "a sizing" --header "$json" --data "$example" "$base/v1/sizings"
sed -n '/cat > stake.json/,/^    END/p' docs/api.md | sed '1d;$d;s/^    //' >"$work/item" # the guide's item
expect 401 "writing without the token" --header "$json" --header 'Idempotency-Key: check' --data "@$work/item" "$base/v1/houses/quayside/items"
expect 201 "the staff's writing" --header "$staff" --header "$json" --header 'Idempotency-Key: check' --data "@$work/item" "$base/v1/houses/quayside/items"

# No container may do more than it must.
for service in postgres roles migrate api; do
	got=$(inspect "$service" '{{.HostConfig.ReadonlyRootfs}} {{.HostConfig.CapDrop}} {{.HostConfig.SecurityOpt}} {{.HostConfig.Memory}} {{.HostConfig.NanoCpus}} {{.HostConfig.PidsLimit}} {{.HostConfig.Privileged}}')
	[[ $got =~ ^true\ \[ALL\]\ \[no-new-privileges:true\]\ [1-9][0-9]*\ [1-9][0-9]*\ [1-9][0-9]*\ false$ ]] || fail "$service is not contained: $got"
	user=$(inspect "$service" '{{.Config.User}}')
	[[ $user =~ ^(999|65532) ]] || fail "$service runs as user '$user'"
done
held() { inspect "$1" '{{range .Config.Env}}{{println .}}{{end}}'; }
holds() { # SERVICE SECRET…: holds these and no other secret
	local service=$1 name
	shift
	for name in KITSPAN_SUPERUSER_PASSWORD KITSPAN_OWNER_PASSWORD KITSPAN_SERVE_PASSWORD KITSPAN_STAFF_TOKEN; do
		if held "$service" | grep -qF "${!name}"; then
			[[ " $* " == *" $name "* ]] || fail "$service is given $name"
		else
			[[ " $* " != *" $name "* ]] || fail "$service is not given $name: this check does not see what it should"
		fi
	done
}
holds postgres KITSPAN_SUPERUSER_PASSWORD
holds roles KITSPAN_SUPERUSER_PASSWORD KITSPAN_OWNER_PASSWORD KITSPAN_SERVE_PASSWORD
holds migrate KITSPAN_OWNER_PASSWORD
holds api KITSPAN_SERVE_PASSWORD KITSPAN_STAFF_TOKEN

# The image hands the licences on.
"$docker" cp "$(container api):/licences/licences.gen.txt" - 2>/dev/null | tar -xO | cmp --silent - cmd/api/licences.gen.txt || fail "the image has no licences, or old ones"

# The role of 'serve' reads and writes rows, and that is all.
as_serve() { "$docker" exec --env PGPASSWORD="$KITSPAN_SERVE_PASSWORD" "$(container postgres)" psql --no-psqlrc -qtA --host=127.0.0.1 --username=kitspan_serve --dbname=kitspan --command="$1" 2>&1; }
[ "$(as_serve 'SELECT count(*) FROM houses')" = 2 ] || fail "kitspan_serve cannot read: $(as_serve 'SELECT count(*) FROM houses')"
[ "$(as_serve "SELECT rolsuper OR rolcreaterole OR rolcreatedb OR rolreplication FROM pg_roles WHERE rolname = current_user")" = f ] || fail "kitspan_serve is powerful"
[ "$(as_serve "SELECT count(*) FROM pg_class WHERE relowner = current_user::regrole")" = 0 ] || fail "kitspan_serve owns something"
for forbidden in 'CREATE TABLE mine (id int)' 'DROP TABLE items' 'ALTER TABLE items ADD COLUMN x int' 'TRUNCATE items' \
	'UPDATE schema_migrations SET version = 1' 'CREATE SCHEMA mine' 'SET ROLE kitspan_owner' 'SET ROLE postgres'; do
	if said=$(as_serve "$forbidden"); then fail "kitspan_serve may: $forbidden"; fi
	[[ $said =~ "permission denied"|"must be owner" ]] || fail "$forbidden: $said"
done
if "$docker" exec --env PGPASSWORD=wrong "$(container postgres)" psql --host="$("$docker" inspect --format '{{range .NetworkSettings.Networks}}{{.IPAddress}}{{end}}' "$(container postgres)")" \
	--username=postgres --command='SELECT 1' >/dev/null 2>&1; then
	fail "the superuser needs no password over the network"
fi

# A database that hangs: 503 and when to come again, and all is well when it goes on.
"$docker" pause "$(container postgres)" >/dev/null
curl --dump-header "$work/head" --output /dev/null --header "$json" --data "$example" "$base/v1/sizings"
"$docker" unpause "$(container postgres)" >/dev/null
head -1 "$work/head" | grep -q ' 503' || fail "with a hung database: $(head -1 "$work/head")"
grep -qi '^retry-after: [0-9]' "$work/head" || fail "no Retry-After with a hung database"
expect 200 "a sizing after the database went on" --header "$json" --data "$example" "$base/v1/sizings"

# SIGTERM under load: what was begun is answered.
# Past the engine's own proxy of published ports, which takes connections that it then cannot hand on.
api=$(container api)
direct=http://$("$docker" inspect --format "{{(index .NetworkSettings.Networks \"${project}_front\").IPAddress}}" "$api"):8080
client() {
	local got
	for _ in $(seq 200); do
		got=$(command curl --silent --max-time 60 --output /dev/null --write-out '%{http_code} %{exitcode}' --header "$json" --data "$example" "$direct/v1/sizings" || true)
		echo "$got"
		[[ $got == 000* ]] && return # it has stopped
	done
}
clients=()
for n in 1 2 3 4; do
	client >"$work/client.$n" &
	clients+=($!)
done
sleep 2
"${compose[@]}" stop api >/dev/null 2>&1
wait "${clients[@]}"
cat "$work"/client.* | sort | uniq -c | sed 's/^ */compose-check: under load: /' >&2
grep -q '^200 0$' "$work"/client.* || fail "nothing was answered under load"
# The last of each client came when no more were taken: refused, or closed before anybody had read it, which may be sent again.
for n in 1 2 3 4; do
	if sed '$d' "$work/client.$n" | grep -Ev '^(200 0|503 0)$' >&2; then fail "requests were lost when the api was stopped"; fi
	tail -1 "$work/client.$n" | grep -Eq '^000 (7|52|56)$' || fail "client $n ended with $(tail -1 "$work/client.$n")"
done
code=$("$docker" inspect --format '{{.State.ExitCode}} {{.State.OOMKilled}}' "$api")
[ "$code" = "0 false" ] || fail "the api ended with $code"

# All of it stops in good order, the database too, and comes up again with its data, migrated by nobody twice.
"${compose[@]}" stop >/dev/null 2>&1
code=$(inspect postgres '{{.State.ExitCode}}')
[ "$code" = 0 ] || fail "PostgreSQL ended with $code"
"${compose[@]}" up -d >"$work/up" 2>&1 || { cat "$work/up" >&2; fail "it does not come up again"; }
base=http://$("${compose[@]}" port api 8080)
for _ in $(seq 100); do
	curl --fail --output /dev/null "$base/readyz" 2>/dev/null && break
	sleep 0.2
done
expect 200 "the item after a restart" "$base/v1/houses/quayside/items/QG-STAKE-120"
say "all is as promised"
