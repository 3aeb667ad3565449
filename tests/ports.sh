#!/usr/bin/env bash
# Whether the program builds for systems other than this one, and whether its Windows program does the same as the one
# of this system. Not part of what runs before a change lands: it needs more than a Rust toolchain. What it could not
# do it says loudly, and then it ends with 2; with 1 where something is wrong.
#
#   tests/ports.sh [check|link|run]     each with what stands before it; run where nothing is named
#
# It takes what it finds, each by the usual names:
#   cargo, rustc   with the standard library of the other systems (rustup target add), or with the library's sources
#                  (rustup component add rust-src, or a distribution's package), which are then built along
#   a linker       x86_64-w64-mingw32-gcc, or -gcc-posix
#   wine           wine64 or wine, or what WINE names; python3, which runs it (tests/ports.py)
set -uo pipefail
cd "$(dirname "$0")/.."
upto=${1:-run}
export CARGO_TERM_COLOR=never CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-target}
windows=x86_64-pc-windows-gnu
systems=("$windows" aarch64-apple-darwin x86_64-apple-darwin aarch64-linux-android)
missing=() wrong=()
step() { printf '\n== %s\n' "$*"; }
first_of() { for one in "$@"; do command -v "$one" && return; done; }

# Cargo for another system: with its standard library, or with the library built along.
sysroot=$("${RUSTC:-rustc}" --print sysroot)
cargo_for() { # system, what to do, more
    local system=$1 what=$2
    shift 2
    if [ -n "$(find "$sysroot/lib/rustlib/$system/lib" -name 'libstd-*.rlib' 2> /dev/null)" ]; then
        cargo "$what" --locked --target "$system" "$@"
    elif [ -d "$sysroot/lib/rustlib/src/rust/library" ]; then
        RUSTC_BOOTSTRAP=1 cargo "$what" --locked --target "$system" -Zbuild-std=std,panic_abort,panic_unwind "$@"
    else
        return 9
    fi
}

tell() {
    echo
    for one in ${missing[@]+"${missing[@]}"}; do echo "NOT DONE: $one"; done
    for one in ${wrong[@]+"${wrong[@]}"}; do echo "WRONG: $one"; done
    [ ${#wrong[@]} -eq 0 ] || exit 1
    [ ${#missing[@]} -eq 0 ] || exit 2
    echo "all of it holds"
    exit 0
}

for system in "${systems[@]}"; do
    step "it builds for $system"
    cargo_for "$system" check
    case $? in
    0) ;;
    9) missing+=("$system: neither its standard library nor the library's sources are here") ;;
    *) wrong+=("it does not build for $system") ;;
    esac
done
[ "$upto" = check ] && tell

step "a Windows program"
linker=$(first_of x86_64-w64-mingw32-gcc x86_64-w64-mingw32-gcc-posix)
if [ -z "$linker" ]; then
    missing+=("the Windows program: no x86_64-w64-mingw32-gcc here")
    tell
fi
export CARGO_TARGET_X86_64_PC_WINDOWS_GNU_LINKER=$linker
cargo_for "$windows" build || { missing+=("the Windows program: it could not be linked, look above"); tell; }
exe=$CARGO_TARGET_DIR/$windows/debug/skeg.exe
ls -l "$exe"
[ "$upto" = link ] && tell

wine=${WINE:-$(first_of wine64 wine)}
if [ -z "$wine" ]; then
    missing+=("running it: no wine here")
    tell
fi
export WINEDEBUG=${WINEDEBUG:--all}
cargo build --locked || { wrong+=("it does not build here"); tell; }
here=$CARGO_TARGET_DIR/debug/skeg
if ! command -v python3 > /dev/null 2>&1; then
    missing+=("running it: no python3 here, which compares and types")
    tell
fi
if ! "$wine" "$exe" --version > /dev/null 2>&1; then
    missing+=("running it: this wine can't start it; before 9 it has no bcryptprimitives.dll, which the standard library asks for random numbers: one whose ProcessPrng calls RtlGenRandom will do")
    tell
fi
python3 tests/ports.py "$wine" "$exe" "$here" || wrong+=("what the Windows program does: look above")
tell
