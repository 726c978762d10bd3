#!/usr/bin/env bash
# Builds all solvers of the comparison, runs them in one go, prints the table
# and writes result.csv.
#
#   bash benches/peers/run.sh [ROUNDS]     rounds of timing, 9 where left out
#
# For Debian 12. Needs cargo, gcc, python3 with venv and headers, taskset; as root
# it installs what of them is missing, save cargo. SUNDIALS is unpacked below
# `target/peers` unless the system has it. PEERS_CORE names the core to run on.
set -euo pipefail

here="$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)"
root="$(cd "$here/../.." && pwd)"
work="$root/target/peers"
rounds="${1:-9}"
core="${PEERS_CORE:-$(($(nproc) - 1))}"
mkdir -p "$work/module"

fail() {
    printf 'peers: %s\n' "$*" >&2
    exit 2
}
[[ "$rounds" =~ ^[1-9][0-9]*$ ]] || fail "rounds: read '$rounds', allowed is a whole number from 1"

tools() {
    command -v cargo >/dev/null || fail "no cargo: install a Rust toolchain first"
    local missing=()
    command -v gcc >/dev/null || missing+=(gcc libc6-dev)
    command -v taskset >/dev/null || missing+=(util-linux)
    python3 -c 'import ensurepip, sysconfig, os; \
        os.stat(sysconfig.get_paths()["include"] + "/Python.h")' 2>/dev/null \
        || missing+=(python3-venv python3-dev)
    [[ ${#missing[@]} -gt 0 ]] || return 0
    [[ $EUID -eq 0 ]] || fail "install first: ${missing[*]}"
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"
}

# The development package asks for far more than the three solvers here need, so
# its own parts are fetched and unpacked, and nothing is installed.
sundials() {
    sundials_flags=()
    [[ -r /usr/include/cvode/cvode.h && -r /usr/include/arkode/arkode_erkstep.h ]] && return 0
    local usr="$work/sundials/usr"
    if [[ ! -r "$usr/include/cvode/cvode.h" ]]; then
        command -v apt-get >/dev/null || fail "install SUNDIALS with its headers first"
        [[ $EUID -ne 0 ]] || apt-get update -qq
        local parts debs="$work/debs"
        parts="$(apt-cache depends libsundials-dev \
            | awk '/Depends:/ && /sundials-(core|cvode[0-9]|arkode|nvecserial|sunmatrix|sunlinsol|sunnonlinsol)/ { print $2 }')"
        mkdir -p "$debs"
        # shellcheck disable=SC2086
        (cd "$debs" && apt-get download -qq libsundials-dev $parts 2>/dev/null) \
            || fail "SUNDIALS could not be fetched: apt-get download libsundials-dev"
        for deb in "$debs"/*.deb; do dpkg-deb -x "$deb" "$work/sundials"; done
    fi
    local libraries
    libraries="$(dirname "$(find "$usr/lib" -name libsundials_cvode.so | head -n 1)")"
    sundials_flags=("-I$usr/include" "-L$libraries" "-Wl,-rpath,$libraries")
}

python() {
    venv="$work/venv/bin/python"
    [[ -x "$venv" ]] || python3 -m venv "$work/venv"
    "$venv" -c 'import numpy, scipy' 2>/dev/null \
        || "$venv" -m pip install --quiet --disable-pip-version-check numpy scipy
}

# The last scipy whose compiled LSODA shows the Fortran routine to the outside.
odepack() {
    local old="$work/odepack"
    if [[ ! -d "$old/scipy" ]]; then
        "$venv" -m pip download --quiet --disable-pip-version-check --no-deps \
            --only-binary :all: --dest "$old" scipy==1.9.3
        "$venv" -m zipfile -e "$old"/*.whl "$old"
    fi
    routine="$(echo "$old"/scipy/integrate/_odepack.*.so)"
}

# The release profile of the project, whatever a configuration lays over it.
plant() {
    export CARGO_PROFILE_RELEASE_CODEGEN_UNITS=1 CARGO_PROFILE_RELEASE_INCREMENTAL=false
    export CARGO_TARGET_DIR="$work/rust"
    cargo build --locked --release --quiet --manifest-path "$here/plant/Cargo.toml"
    built="$work/rust/release"
}

peers() {
    gcc -O2 -Wall -Wextra -I"$here" "$here/sundials.c" -o "$work/sundials-run" \
        "${sundials_flags[@]}" -L"$built" -Wl,-rpath,"$built" -lplant \
        -lsundials_cvode -lsundials_arkode -lsundials_nvecserial \
        -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lsundials_sunnonlinsolfixedpoint
    local headers
    headers="$("$venv" -c 'import numpy, sysconfig; \
        print("-I" + sysconfig.get_paths()["include"], "-I" + numpy.get_include())')"
    # shellcheck disable=SC2086
    gcc -O2 -Wall -shared -fPIC -I"$here" $headers "$here/rhs_module.c" \
        -o "$work/module/plant_rhs.so" -L"$built" -Wl,-rpath,"$built" -lplant
    gcc -O2 -Wall -Wextra -shared -fPIC -I"$here" "$here/lsoda_loop.c" \
        -o "$work/liblsoda_loop.so" -L"$built" -Wl,-rpath,"$built" -lplant
}

tools
sundials
python
odepack
plant
peers
"$venv" -c 'import scipy, numpy; print("scipy", scipy.__version__, "numpy", numpy.__version__)'
rustc --version
gcc --version | head -n 1
exec "$venv" "$here/compare.py" "$built/ours" "$work/sundials-run" "$work/module" \
    "$routine" "$root/scenarios/rescue-tender.yaml" "$work" "$here/result.csv" "$core" "$rounds"
