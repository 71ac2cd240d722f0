#!/usr/bin/env bash
# Restores a backup into the empty database of DATABASE_URL and the empty folder of REEDCREW_MEDIA, and compares
# every table and every photo with what was backed up. It never writes over anything.
#   bash deploy/restore.sh FILE --key KEY [--secrets-to FILE]
set -euo pipefail
top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) # files are named from where the command is given
python=$top/.venv/bin/python
if [[ ! -x $python ]]; then
  printf 'Reedcrew: there is no .venv: install deploy/requirements.lock first (deploy/README.md).\n' >&2
  exit 1
fi
umask 077
exec "$python" "$top/manage.py" restore "$@"
