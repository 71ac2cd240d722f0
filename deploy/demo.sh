#!/usr/bin/env bash
# The demo in one command: sets up what is missing, plans the next day of the invented season, and serves it.
#   PORT=8000 bash deploy/demo.sh
# All data is in var/ (REEDCREW_VAR says where else); remove that folder to begin again.
source "$(dirname "${BASH_SOURCE[0]}")/_setup.sh"

# A .venv made for the tests holds everything that the service needs, in the same versions.
installed requirements-dev.lock || use_lock requirements.lock
umask 077 # the data is its owner's alone
"$python" deploy/prepare_demo.py
exec "$python" manage.py serve
