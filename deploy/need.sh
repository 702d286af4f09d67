#!/usr/bin/env bash
# Installs what is missing on a Debian machine, all in one go, where the user may; else prints the one command that does.
#
#   need.sh WHAT…
#
#   postgres      the server's programs (also found where PATH does not lead to them), without a cluster of the system's own
#   compiler      a C compiler, which Go's race detector needs
#   browser       Chromium, in which the tests open the pages
#   solver        cbc, a solver of integer programs, against which the choice of a shared kit is tested
#   compose       Compose, where a container engine is there to use it
set -Eeuo pipefail

say() { echo "need: $*" >&2; }

as_root() {
	if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi
}

# Where PostgreSQL's programs lie beside PATH: of Debian, and of its publisher's own packages.
read -ra program_dirs <<<"${KITSPAN_POSTGRES_PROGRAMS:-/usr/lib/postgresql/*/bin /usr/pgsql-*/bin}"

have_postgres() {
	local dir
	# shellcheck disable=SC2068 # patterns, to be expanded here
	for dir in $(type -P postgres | xargs -r readlink -f | xargs -r dirname) ${program_dirs[@]}; do
		[ -x "$dir/initdb" ] && [ -x "$dir/postgres" ] && return
	done
	return 1
}
have_compiler() { command -v "${CC:-gcc}" >/dev/null && echo '#include <stdlib.h>' | "${CC:-gcc}" -E - >/dev/null 2>&1; }
have_browser() { command -v chromium >/dev/null || command -v chromium-browser >/dev/null || [ -n "${KITSPAN_CHROMIUM:-}" ]; }
have_solver() { command -v cbc >/dev/null; }
have_compose() {
	local docker=${DOCKER:-docker}
	! command -v "$docker" >/dev/null || "$docker" compose version >/dev/null 2>&1 || command -v docker-compose >/dev/null
}

usage() {
	sed -n '2,10s/^# \{0,1\}//p' "${BASH_SOURCE[0]}" >&2
	exit 2
}

[ $# -gt 0 ] || usage
missing=()  # in words
packages=() # of Debian
cluster=    # set where a package would make a cluster
for what; do
	case $what in
	postgres) have_postgres || { missing+=("PostgreSQL") packages+=(postgresql) cluster=1; } ;;
	compiler) have_compiler || { missing+=("a C compiler") packages+=(gcc libc6-dev); } ;;
	browser) have_browser || { missing+=("Chromium") packages+=(chromium); } ;;
	solver) have_solver || { missing+=("cbc") packages+=(coinor-cbc); } ;;
	compose) have_compose || { missing+=("Compose") packages+=(docker-compose); } ;;
	*) usage ;;
	esac
done
[ ${#missing[@]} != 0 ] || exit 0
list=$(printf ', %s' "${missing[@]}")
list=${list:2}

# What root runs, here or by the administrator's hand. Debian's PostgreSQL would make a cluster of its own and start it with the machine:
# only the programs are wanted.
command="apt-get update; apt-get install --yes --no-install-recommends ${packages[*]}"
if [ -n "$cluster" ]; then
	settings=/etc/postgresql-common/createcluster.d
	command="mkdir -p $settings && echo create_main_cluster = false >$settings/kitspan-need.conf && { $command; }; done=\$?; rm $settings/kitspan-need.conf; exit \$done"
fi

if ! command -v apt-get >/dev/null; then
	say "missing: $list. This is no Debian: install the like of its packages ${packages[*]}, then try again"
	exit 1
fi
if [ "$(id -u)" != 0 ] && ! sudo -n true 2>/dev/null; then
	say "missing: $list. You may not install without a password. Run this, then try again:"
	say "    sudo sh -c '$command'"
	exit 1
fi
say "missing: $list; installing ${packages[*]}"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
if ! as_root env DEBIAN_FRONTEND=noninteractive sh -c "$command" >"$log" 2>&1 </dev/null; then
	tail -20 "$log" >&2
	say "the packages cannot be installed: see above. The command was: $command"
	exit 1
fi
for what; do
	"have_$what" || { say "installed ${packages[*]}, but $what is still not found"; exit 1; }
done
