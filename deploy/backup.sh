#!/usr/bin/env bash
# One encrypted file of database and photos in BACKUP_DIR, locked for the public keys of BACKUP_KEY.
#   bash deploy/backup.sh --new-key FILE      once: FILE opens the backups and belongs on another machine
#   bash deploy/backup.sh [--with-secrets]    every night; prints where the file is
set -euo pipefail
top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) # files are named from where the command is given
python=$top/.venv/bin/python
if [[ ! -x $python ]]; then
  printf 'Reedcrew: there is no .venv: install deploy/requirements.lock first (deploy/README.md).\n' >&2
  exit 1
fi
umask 077 # what is written is its owner's alone
exec "$python" "$top/manage.py" backup "$@"
