#!/usr/bin/env bash
# The demo in one command: sets up what is missing, plans the next day of the invented season, and serves it.
#   PORT=8000 bash deploy/demo.sh
# All data is in var/ (REEDCREW_VAR says where else); remove that folder to begin again.
source "$(dirname "${BASH_SOURCE[0]}")/_setup.sh"

# .venv made for the tests holds everything that the service needs, in the same versions.
if ! [[ -f .venv/installed-requirements-dev.lock && -x $python ]] ||
  [[ $(<.venv/installed-requirements-dev.lock) != $(digest deploy/requirements-dev.lock) ]]; then
  use_lock requirements.lock
fi

umask 077 # the data is its owner's alone
var=${REEDCREW_VAR:-var}
static=${STATIC_ROOT:-$var/static}
try "The database could not be brought up to date." "$python" manage.py migrate --verbosity=0
if [[ ! -f $static/staticfiles.json ]] ||
  [[ -n $(find reedcrew/*/static .venv/installed-* -newer "$static/staticfiles.json" -print -quit 2>/dev/null) ]]; then
  try "The static files could not be collected." "$python" manage.py collectstatic --noinput --verbosity=0
fi
try "The demo season could not be loaded." "$python" manage.py load_demo

"$python" manage.py plan_next || die "The next day of the demo could not be planned."
"$python" manage.py demo_accounts || die "The accounts of the demo could not be listed."
exec "$python" manage.py serve
