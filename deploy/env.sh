#!/usr/bin/env bash
# Writes deploy/.env for compose.yaml where there is none: passwords of the database's roles and a staff token, from the system's source of
# chance, readable by this user alone. What is there stays as it is.
#
#   env.sh [FILE]
set -Eeuo pipefail
file=${1:-$(dirname "${BASH_SOURCE[0]}")/.env}
if [ -e "$file" ]; then
	echo "env: $file is there and stays as it is" >&2
	exit
fi
umask 077
new=$(mktemp "$file.XXXXXX")
trap 'rm -f "$new"' EXIT
for name in KITSPAN_SUPERUSER_PASSWORD KITSPAN_OWNER_PASSWORD KITSPAN_SERVE_PASSWORD KITSPAN_STAFF_TOKEN; do
	echo "$name=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')" >>"$new"
done
mv "$new" "$file"
echo "env: wrote $file" >&2
