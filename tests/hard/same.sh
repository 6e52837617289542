#!/usr/bin/env bash
# Builds the whole site of this commit three times and compares every byte: here with a cold and a warm cache on all cores, then in
# another folder, time zone and language, on one core, behind another umask and, when run by root, by another user. Takes minutes.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
[ -d theme/node_modules ] || { echo "theme/node_modules is missing: npm ci --prefix theme, then run this again." >&2; exit 1; }
made=$(mktemp -d)
trap 'chmod -R u+w "$made"; rm -rf "$made"' EXIT
chmod 755 "$made"
far="$made/another folder/été" home="$made/home"
mkdir -p "$far" "$home"
for root in "$made/near" "$far/project"; do
  git clone -q . "$root"
  cp -r theme/node_modules "$root/theme/"
  rm -rf "$root/.cache"
done
say() { printf '%-58s %s s\n' "$1" "$((SECONDS - began))"; }

export TZ=Pacific/Chatham
build() { began=$SECONDS; (cd "$made/near" && go run ./cmd/centrode build -out "$made/$1" >"$made/said" 2>&1); say "$1"; }
build cold
build warm

# The other user reads the modules from a copy of what was fetched, since this user's home may be closed to all others.
mods=$(go env GOMODCACHE) go=$(go env GOROOT)/bin
cp -r "$mods/cache/download" "$home/modules"
as=() who=somebody
if [ "$(id -u)" = 0 ]; then
  chown -R nobody "$home" "$far"
  as=(runuser -u nobody --) who="another user"
fi
began=$SECONDS
(umask 077; cd "$far/project"; "${as[@]}" env -i HOME="$home" USER=somebody LANG=C TZ=America/Bogota GOMAXPROCS=1 GOSUMDB=off \
  GOPROXY="file://$home/modules" PATH="$go:$(dirname "$(command -v node)"):/usr/bin:/bin" taskset -c 0 go run ./cmd/centrode build -out "$far/site" >"$made/said")
say "as $who, one core, umask 077"

status=0
for other in "$made/warm" "$far/site"; do
  diff -rq "$made/cold" "$other" || status=1
done
printf '%d files: %s\n' "$(find "$made/cold" -type f | wc -l)" "$([ "$status" = 0 ] && echo "the same bytes three times" || echo "they differ")"
exit "$status"
