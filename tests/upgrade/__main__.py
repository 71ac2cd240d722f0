"""Keep a released database, and check that the migrations of today lead on from it.

``python -m tests.upgrade keep NAME`` loads the demo season into a new database and keeps its rows under
``tests/upgrade/kept/``; run it for each release, with the code of that release, and commit the file.
``python -m tests.upgrade check FILE`` loads a kept database into the empty one of DATABASE_URL and runs every migration
on it: forward, and backward where all of them can.
"""

import io
import json
import os
import sys
import tempfile
from collections import Counter
from pathlib import Path

import django

MAILS = 20  # of the outbox that are kept


def main(arguments: list[str]) -> int:
    match arguments:
        case ["keep", name]:
            with tempfile.TemporaryDirectory(prefix="reedcrew-upgrade-") as folder:
                for variable in ("DATABASE_URL", "REDIS_URL", "EMAIL_URL", "REEDCREW_MEDIA"):
                    os.environ.pop(variable, None)
                os.environ["REEDCREW_VAR"] = folder
                return _keep(name)
        case ["check", path]:
            return _check(Path(path))
    print(__doc__)
    return 2


def _set_up() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
    django.setup()


def _keep(name: str) -> int:
    _set_up()
    from django.core.management import call_command  # these know models: not before Django is set up
    from django.db import connection
    from django.db.migrations.loader import MigrationLoader

    from reedcrew.invites.models import OutgoingMail
    from tests.upgrade import rows

    call_command("migrate", verbosity=0)
    call_command("load_demo", verbosity=0)
    call_command("plan_next", verbosity=0, stdout=io.StringIO())
    some = OutgoingMail.objects.order_by("pk").values_list("pk", flat=True)[:MAILS]
    OutgoingMail.objects.exclude(pk__in=list(some)).delete()  # most of the octets, and all alike
    applied = sorted(MigrationLoader(connection).applied_migrations)
    path = rows.KEPT / f"{name}.jsonl.gz"
    number = rows.keep(path, rows.state_of(applied), applied)
    print(f"{path}: {number} rows, {path.stat().st_size} octets")
    return 0


def _check(path: Path) -> int:
    _set_up()
    from django.apps import apps
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    from reedcrew.operation.backup.migrating import newest
    from tests.upgrade import rows

    migrations, lines = rows.read(path)
    rows.load(migrations, lines)
    executor = MigrationExecutor(connection)
    today = executor.loader.graph.leaf_nodes()
    later = [migration for migration, _backwards in executor.migration_plan(today)]
    executor.migrate(today)
    connection.check_constraints()
    found = Counter({model._meta.db_table: model._base_manager.count() for model in rows.tables(apps)})
    print(f"{len(lines)} rows, {len(later)} migrations forward, {found.total()} rows in today's models")

    back = [migration for migration in later if not all(operation.reversible for operation in migration.operations)]
    if back:
        print(f"Not backward: {', '.join(str(migration) for migration in back)}")
        return 0
    before = dict(newest(connection, migrations))
    MigrationExecutor(connection).migrate([(app, before.get(app)) for app in {one.app_label for one in later}])
    again = [json.loads(json.dumps(line)) for line in rows.lines_of(rows.state_of(migrations))]
    if again != lines:
        print(f"Backward, {sum(one not in lines for one in again)} rows differ")
        return 1
    print(f"{len(later)} migrations backward, every row as it was")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
