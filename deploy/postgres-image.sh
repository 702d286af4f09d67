#!/usr/bin/env bash
# Makes sure that the container engine holds a PostgreSQL image, and prints the image's name on standard output, all else on
# standard error. In this order: one that is here already, the registry's, one built here from Debian's packages.
#
#   postgres-image.sh [--build]     --build: pass the registry's image by
#
# Building needs apt (Debian, or a system made from it) and the engine's command line, neither root nor a registry: packages are
# fetched into a folder of their own and unpacked there, and of these only the server's programs, the libraries that they load, time
# zones and a small shell go into the image. Rebuilt when this script or the entrypoint changes. Runs as user 999. An import cannot
# set the signal for stopping: give SIGINT (fast shutdown) where the container is run.
set -Eeuo pipefail
trap 'echo "postgres-image: failed at line $LINENO" >&2' ERR

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
docker=${DOCKER:-docker}
registry_image=${KITSPAN_REGISTRY_IMAGE:-postgres:15}
local_image=kitspan-postgres:local
recipe=$(cat "${BASH_SOURCE[0]}" "$here/postgres-entrypoint.sh" | sha256sum | cut -c1-16)

say() { echo "postgres-image: $*" >&2; }
fail() { say "$*"; exit 1; }

"$docker" version >/dev/null 2>&1 || fail "no container engine answers to '$docker'"

if [ "${1:-}" != --build ]; then
	if "$docker" image inspect "$registry_image" >/dev/null 2>&1; then
		echo "$registry_image"
		exit
	fi
fi
if [ "$("$docker" image inspect --format '{{index .Config.Labels "kitspan.recipe"}}' "$local_image" 2>/dev/null || true)" = "$recipe" ]; then
	echo "$local_image"
	exit
fi
if [ "${1:-}" != --build ] && timeout 180 "$docker" pull --quiet "$registry_image" >/dev/null 2>&1; then
	say "pulled $registry_image"
	echo "$registry_image"
	exit
fi

for tool in apt-get apt-cache dpkg-deb tar; do
	command -v "$tool" >/dev/null || fail "no registry gives $registry_image, and building an image needs $tool (Debian)"
done
say "no registry gives $registry_image: building $local_image from Debian packages"
started=$SECONDS
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
umask 022
mkdir -p "$work"/{state/lists/partial,cache/archives/partial,debs,all,image}
: >"$work/status"

# apt with the machine's sources, in a state of its own in which nothing is installed.
apt=(-qq -o "Dir::State=$work/state" -o "Dir::State::status=$work/status" -o "Dir::Cache=$work/cache"
	-o Debug::NoLocking=1 -o APT::Sandbox::User= -o APT::Install-Recommends=false)
apt-get "${apt[@]}" update >&2 || say "apt-get update had faults; going on with what it found"
major=$(apt-cache "${apt[@]}" depends postgresql | sed -n 's/.*Depends: postgresql-\([0-9]*\)$/\1/p' | head -1)
[ -n "$major" ] || fail "apt knows no package postgresql: see the sources in /etc/apt"

# Of everything that the server's package would bring along, the libraries only, and not the compiler of its JIT.
mapfile -t packages < <(apt-get "${apt[@]}" --simulate install "postgresql-$major" busybox-static tzdata libc-bin |
	awk -v m="$major" '$1 == "Inst" && ($2 ~ /^(lib|zlib1g|tzdata|busybox-static)/ || $2 == "postgresql-" m || $2 == "postgresql-client-" m) {print $2}' |
	grep -Ev '^lib(llvm|perl|python)')
(cd "$work/debs" && apt-get "${apt[@]}" download "${packages[@]}" >&2)
for deb in "$work"/debs/*.deb; do dpkg-deb --extract "$deb" "$work/all"; done

all=$work/all image=$work/image pg=usr/lib/postgresql/$major
mkdir -p "$image"/{usr/bin,usr/lib,usr/lib64,"$pg/bin",usr/share/postgresql,etc,tmp,run/postgresql,var/lib/postgresql/data}
ln -s usr/bin "$image/bin"
ln -s usr/lib "$image/lib"
ln -s usr/lib64 "$image/lib64"
ln -s ../run "$image/var/run"
for program in initdb postgres pg_ctl pg_dump pg_isready pg_restore psql; do
	cp "$all/$pg/bin/$program" "$image/$pg/bin/"
	ln -s "../../$pg/bin/$program" "$image/usr/bin/$program"
done
cp -r "$all/$pg/lib" "$image/$pg/"
rm -rf "$image/$pg/lib"/{bitcode,llvmjit*,pgxs}
cp -r "$all/usr/share/postgresql/$major" "$image/usr/share/postgresql/"
rm -rf "$image/usr/share/postgresql/$major/man"
cp -r "$all/usr/share/zoneinfo" "$image/usr/share/"
rm -rf "$image/usr/share/zoneinfo"/{right,posix}
mkdir -p "$image/usr/lib/locale"
cp -r "$all/usr/lib/locale"/C.* "$image/usr/lib/locale/"

# The libraries that the programs and modules load, found by the packages' own loader.
loader=$(find "$all"/lib* "$all"/usr/lib* -name 'ld-linux*.so.*' -path '*lib*/ld-*' | sort | head -1)
triplet=$(basename "$(dirname "$(find "$all" -name libc.so.6 | head -1)")")
libraries=$all/lib/$triplet:$all/usr/lib/$triplet
mkdir -p "$image/usr/lib/$triplet"
find "$image/$pg" -type f \( -path '*/bin/*' -o -name '*.so' \) | while read -r file; do
	"$loader" --library-path "$libraries" --list "$file"
done | awk '$2 == "=>" {print $3}' | sort -u | while read -r library; do
	cp --dereference "$library" "$image/usr/lib/$triplet/"
done
# Where the programs look for the loader stands in them as text.
interpreter=$(grep -aom1 '/lib[0-9]*/ld-linux[-a-z0-9_]*\.so\.[0-9]' "$image/$pg/bin/postgres")
cp --dereference "$loader" "$image/usr/${interpreter#/}"

cp "$(find "$all" -path '*bin/busybox' | head -1)" "$image/usr/bin/"
for applet in cat chmod cp df env id ls mkdir mv printf ps rm sed sh sleep; do
	ln -s busybox "$image/usr/bin/$applet"
done
cp "$here/postgres-entrypoint.sh" "$image/usr/bin/postgres-entrypoint"
chmod 755 "$image/usr/bin/postgres-entrypoint"
printf 'root:x:0:0:root:/:/bin/sh\npostgres:x:999:999:PostgreSQL:/var/lib/postgresql:/bin/sh\n' >"$image/etc/passwd"
printf 'root:x:0:\npostgres:x:999:\n' >"$image/etc/group"
chmod 1777 "$image/tmp"
chmod 2775 "$image/run/postgresql"
chmod 1777 "$image/var/lib/postgresql/data" # a memory file system mounted there takes this over, but not the owner

own=(./run/postgresql ./var/lib/postgresql)
tar -C "$image" --numeric-owner --owner 0 --group 0 --exclude ./run/postgresql --exclude ./var/lib/postgresql -cf "$work/image.tar" .
tar -C "$image" --numeric-owner --owner 999 --group 999 -rf "$work/image.tar" "${own[@]}"
"$docker" import \
	--change 'ENTRYPOINT ["/usr/bin/postgres-entrypoint"]' --change 'CMD ["postgres"]' \
	--change 'ENV PATH=/usr/bin PGDATA=/var/lib/postgresql/data LANG=C.UTF-8' \
	--change 'USER 999:999' --change 'EXPOSE 5432' --change 'VOLUME /var/lib/postgresql/data' \
	--change "LABEL kitspan.recipe=$recipe" \
	"$work/image.tar" "$local_image" >/dev/null
size=$(du -m "$work/image.tar" | cut -f1)
say "built $local_image: PostgreSQL $major, ${size} MB, $((SECONDS - started)) s"
echo "$local_image"
