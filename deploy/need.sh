#!/usr/bin/env bash
# Installs what is missing on a Debian machine, where the user may; explains otherwise.
#
#   need.sh postgres      the server's programs (also found where PATH does not lead to them)
#   need.sh compiler      a C compiler, which Go's race detector needs
#   need.sh browser       Chromium, in which the tests open the pages
set -Eeuo pipefail

say() { echo "need: $*" >&2; }

as_root() {
	if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi
}

may_install() { # WHAT PACKAGE…
	local what=$1
	shift
	if ! command -v apt-get >/dev/null; then
		say "$what is missing, and this is no Debian: install the like of: $*"
		exit 1
	fi
	if [ "$(id -u)" != 0 ] && ! sudo -n true 2>/dev/null; then
		say "$what is missing, and you may not install it without a password. Run this, then try again:"
		say "    sudo apt-get install --no-install-recommends $*"
		exit 1
	fi
}

install() { # WHAT PACKAGE…
	may_install "$@"
	say "$1 is missing: installing ${*:2}"
	shift
	as_root apt-get -qq update >&2 || say "apt-get update had faults; going on with what it found"
	as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -o Dpkg::Use-Pty=0 install --yes --no-install-recommends "$@" >/dev/null
}

have_postgres() {
	local dir
	for dir in $(type -P postgres | xargs -r readlink -f | xargs -r dirname) /usr/lib/postgresql/*/bin /usr/pgsql-*/bin; do
		[ -x "$dir/initdb" ] && [ -x "$dir/postgres" ] && return
	done
	return 1
}

case "${1:-}" in
postgres)
	have_postgres && exit
	# Debian's package would make a cluster of its own and start it with the machine. Only the programs are wanted here.
	settings=/etc/postgresql-common/createcluster.d/kitspan-need.conf
	no_cluster() {
		as_root mkdir -p "${settings%/*}"
		echo 'create_main_cluster = false' | as_root tee "$settings" >/dev/null
	}
	may_install "PostgreSQL" postgresql
	install "PostgreSQL" postgresql-common
	no_cluster
	trap 'as_root rm -f "$settings"' EXIT
	install "PostgreSQL" postgresql
	have_postgres || { say "installed postgresql, but found no programs of it"; exit 1; }
	;;
compiler)
	command -v "${CC:-gcc}" >/dev/null && echo '#include <stdlib.h>' | "${CC:-gcc}" -E - >/dev/null 2>&1 && exit
	install "a C compiler" gcc libc6-dev
	;;
browser)
	command -v chromium >/dev/null || command -v chromium-browser >/dev/null || [ -n "${KITSPAN_CHROMIUM:-}" ] && exit
	install "Chromium" chromium
	;;
*)
	sed -n '2,7s/^# \{0,1\}//p' "${BASH_SOURCE[0]}" >&2
	exit 2
	;;
esac
