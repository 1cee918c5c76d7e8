#!/bin/bash
# README from the top, as a newcomer meets it: a minimal Debian 12 in a folder of its own (debootstrap), a fresh clone,
# README's commands, and the built wheel in an empty environment.
#
#   benchmarks/newcomer.sh [--tests] [--keep] [FOLDER]     as root; needs debootstrap and git on this machine
#
# Where packages come from is this machine's matter: its own Debian mirror (or MIRROR), proxies and certificates.
# FOLDER (default: a new one where temporary files go, see TMPDIR) must not exist yet, and lie on a file system that
# allows devices and programs (debootstrap says so if not); it is removed at the end unless --keep is given.
set -euo pipefail

tests=no keep=no folder=""
for word in "$@"; do
    case $word in
    --tests) tests=yes ;;
    --keep) keep=yes ;;
    -*) echo "newcomer: unknown option $word" >&2; exit 2 ;;
    *) folder=$word ;;
    esac
done
[ "$(id -u)" = 0 ] || { echo "newcomer: a chroot needs root" >&2; exit 2; }
for tool in debootstrap git; do
    command -v "$tool" >/dev/null || { echo "newcomer: apt-get install $tool first" >&2; exit 2; }
done
[ -z "$folder" ] || [ ! -e "$folder" ] || { echo "newcomer: $folder is there already" >&2; exit 2; }
folder=${folder:-$(mktemp -d -t newcomer.XXXXXX)}
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
source=$(cd "$(dirname "$0")/.." && pwd)
log=$folder.log

leave() {
    umount "$folder/dev/shm" "$folder/proc" 2>/dev/null || true
    # never remove through a mount that would not go
    if [ "$keep" = no ] && ! grep -q " $folder/" /proc/mounts; then rm -rf --one-file-system "$folder"; fi
}
trap leave EXIT

step() { # NAME COMMAND...: its time and last lines on screen, all of it in the log
    local name=$1 begin=$SECONDS
    shift
    printf '\n== %s\n' "$name" >>"$log"
    if "$@" >>"$log" 2>&1; then
        printf '%-58s ok %6d s\n' "$name" $((SECONDS - begin))
    else
        printf '%-58s FAILED after %d s; the end of %s:\n' "$name" $((SECONDS - begin)) "$log"
        tail -n 30 "$log"
        exit 1
    fi
}

inside() { # a login of its own: nothing of this shell's environment but where to find certificates and proxies
    local setting kept=("TERM=dumb")
    for setting in http_proxy https_proxy no_proxy HTTP_PROXY HTTPS_PROXY NO_PROXY PIP_INDEX_URL PIP_DEFAULT_TIMEOUT; do
        [ -z "${!setting-}" ] || kept+=("$setting=${!setting}")
    done
    [ ! -e "$folder$inner" ] || kept+=("PIP_CERT=$inner" "SSL_CERT_FILE=$inner")
    chroot "$folder" /usr/bin/env -i HOME=/root LANG=C.UTF-8 PATH=/usr/sbin:/usr/bin:/sbin:/bin "${kept[@]}" \
        /bin/sh -c "cd /root/soapfilm && $1"
}

# A bare Debian has no certificates, and pip inside may face those of this machine's own network. Not in their usual
# place, where the package ca-certificates would write over them.
bundle=/etc/ssl/certs/ca-certificates.crt inner=/usr/local/share/host-certificates.crt
# The first two commands of README's first pages, so that what it says is what is tried.
mapfile -t commands < <(awk '/^```sh$/ {inside = 1; next} /^```/ {inside = 0} inside' "$source/README.md" | head -n 2)
[[ ${commands[0]} == apt-get*make* ]] || { echo "newcomer: README's first command is not the set-up" >&2; exit 1; }

if command -v apt-get >/dev/null; then
    : "${MIRROR:=$(apt-get indextargets --format '$(REPO_URI)' 'Codename: bookworm' 'Identifier: Packages' | head -n 1)}"
    [ -n "${http_proxy-}" ] || eval "$(apt-config shell http_proxy Acquire::http::Proxy)"
    [ -z "${http_proxy-}" ] || export http_proxy
fi

: >"$log"
step "minimal Debian 12" debootstrap --variant=minbase bookworm "$folder" ${MIRROR:+"$MIRROR"}
mount -t proc proc "$folder/proc"
mkdir -p "$folder/dev/shm" && mount -t tmpfs tmpfs "$folder/dev/shm"
[ ! -e "$bundle" ] || cp -L "$bundle" "$folder$inner"
cp -L /etc/resolv.conf "$folder/etc/resolv.conf"
# The installer writes this file on every Debian; debootstrap leaves it out, and localhost has no address then.
printf '127.0.0.1 localhost\n::1 localhost\n' >"$folder/etc/hosts"
step "fresh clone" git clone --quiet --no-hardlinks "$source" "$folder/root/soapfilm"
step "${commands[0]}" inside "${commands[0]}"
grep -q "torsion constant" "$log" || { echo "newcomer: the demo printed no torsion constant" >&2; exit 1; }
for figure in shear warping; do
    [ -s "$folder/root/soapfilm/out/demo/landing-deck-$figure.png" ] ||
        { echo "newcomer: the demo drew no $figure figure" >&2; exit 1; }
done
step "make build" inside "make build"
step "wheel into an empty environment" inside \
    "python3 -m venv /root/empty && /root/empty/bin/pip install --quiet --disable-pip-version-check dist/*.whl"
step "soapfilm demo, from the wheel" inside "cd /root && /root/empty/bin/soapfilm demo --folder /root/demo"
step "200 lattices to a frame, by the wheel from another folder" inside \
    "/root/empty/bin/pip install --quiet --disable-pip-version-check pandas &&
    cp benchmarks/lattices.py /root && cd /root && /root/empty/bin/python lattices.py"
[ "$tests" = no ] || step "${commands[1]}" inside "${commands[1]}"
[ "$tests" = no ] || grep -E "(passed|failed).* in [0-9]" "$log" | tail -n 1
echo "all as README says; log: $log"
