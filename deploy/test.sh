#!/usr/bin/env bash
# All tests in one command: on SQLite, then on a PostgreSQL and a Redis that the run starts by itself.
#   bash deploy/test.sh [arguments of pytest]
source "$(dirname "${BASH_SOURCE[0]}")/_setup.sh"
use_lock requirements-dev.lock

chromium=/usr/bin/chromium
if [[ ! -x $chromium && $EUID == 0 ]] && command -v apt-get >/dev/null; then
  say "Installing $chromium for the tests in a browser"
  export DEBIAN_FRONTEND=noninteractive
  { apt-get -qq -o DPkg::Lock::Timeout=300 update &&
    apt-get -qq -y -o DPkg::Lock::Timeout=300 install --no-install-recommends chromium; } >/dev/null 2>&1 ||
    say "It could not be installed."
fi
[[ -x $chromium ]] || say "!!! NO $chromium: THE TESTS IN A BROWSER ARE SKIPPED. Install chromium to run them. !!!"

# run DATABASE ARGUMENT...: one run of pytest. "No test" is no failure of the second run, which leaves out what the
# first has shown, so that one chosen file may be among it.
run() {
  local database=$1 status=0
  shift
  say "Tests on $database:"
  REEDCREW_TEST_DATABASE=$database "$python" -m pytest -p no:cacheprovider --numprocesses=auto --dist=worksteal "$@" ||
    status=$?
  if [[ $status == 2 ]]; then exit 130; fi # stopped by hand
  if [[ $status == 5 && $database == postgres ]]; then status=0; fi
  return "$status"
}

failed=0
run sqlite "$@" || failed=$?
run postgres "$@" || failed=$?
exit "$failed"
