# Shared by the scripts beside it: finds Python, keeps .venv as the lock file says. Sourced, never run.
# Needs bash and Python 3.11 or newer; no other tool, no home folder, no terminal. Runs from any folder.

set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_INPUT=1 PIP_ROOT_USER_ACTION=ignore PYTHONUTF8=1
export PATH="${PATH:-/usr/local/bin:/usr/bin:/bin}"
unset PYTHONHOME PYTHONPATH DJANGO_SETTINGS_MODULE VIRTUAL_ENV
unset PYTHONDONTWRITEBYTECODE # several processes start, and each would compile everything again

python=.venv/bin/python

say() { printf '%s\n' "$*"; }
die() { printf 'Reedcrew: %s\n' "$*" >&2; exit 1; }

# try SENTENCE COMMAND...: runs the command quietly; when it fails, shows what it printed and ends with the sentence.
try() {
  local sentence=$1 printed
  shift
  printed=$("$@" 2>&1) || { printf '%s\n' "$printed" >&2; die "$sentence"; }
}

new_enough() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; }

find_python() {
  local name
  for name in python3 python3.14 python3.13 python3.12 python3.11 python; do
    if command -v "$name" >/dev/null && new_enough "$name"; then command -v "$name"; return; fi
  done
  die "Python 3.11 or newer is needed, and there is none in PATH. Install it, then run this command again."
}

digest() { "$python" -c 'import hashlib, sys; print(hashlib.sha256(open(sys.argv[1], "rb").read()).hexdigest())' "$1"; }

# installed FILE: whether .venv works and holds what deploy/FILE names today.
installed() {
  local stamp=.venv/installed-$1
  [[ -f $stamp ]] && new_enough "$python" && [[ $(<"$stamp") == "$(digest "deploy/$1")" ]]
}

# use_lock FILE: makes .venv when there is none, and installs exactly what deploy/FILE names when it changed since.
use_lock() {
  if installed "$1"; then return; fi
  if ! { new_enough "$python" && "$python" -m pip --version; } >/dev/null 2>&1; then
    local base
    base=$(find_python)
    say "Making .venv with $("$base" --version)"
    try "The virtual environment could not be made. On Debian and Ubuntu, install the package python3-venv." \
      "$base" -m venv --clear .venv
  fi
  say "Installing what deploy/$1 names (once; a few minutes on a slow line)"
  rm -f ".venv/installed-$1"
  # Bytecode is made by the first import of what is used, which is far less than what is installed.
  try "What deploy/$1 names could not be installed; the lines above say why. This step needs the network." \
    "$python" -m pip install --quiet --no-compile --no-deps --only-binary=:all: --require-hashes -r "deploy/$1"
  digest "deploy/$1" >".venv/installed-$1"
}
