"""What the import linter cannot see because it is written as text: relations, templates, tasks, files and hosts."""

import ast
import re
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.conf import settings
from django.db.models import Model

from reedcrew.celery import app

ROOT = Path(settings.BASE_DIR)
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "reedcrew", "templates", "tests", "deploy"}


def layers() -> list[set[str]]:
    """The order of the apps as the import linter holds it, lowest first."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    direction = next(contract for contract in contracts if contract["id"] == "direction")
    return [set(layer.split(" | ")) for layer in reversed(direction["layers"])]


def height(name: str) -> int:
    """How high an app stands; a name that is no app of ours stands below all of them."""
    return next((number for number, layer in enumerate(layers()) if name in layer), -1)


def may_know(upper: str, lower: str) -> bool:
    """Whether ``upper`` may name something of ``lower``: itself, or what stands strictly below."""
    return upper == lower or height(lower) < height(upper)


def ignored() -> set[str]:
    """The names at the top level that no copy of the project carries."""
    return {line.strip("/") for line in (ROOT / ".gitignore").read_text().splitlines()}


def files() -> list[Path]:
    places = [place for place in ROOT.iterdir() if place.name not in ignored() | {".git"}]
    within = chain.from_iterable([place] if place.is_file() else place.rglob("*") for place in places)
    return sorted(path for path in within if path.is_file() and "__pycache__" not in path.parts)


def sources(*folders: str) -> list[Path]:
    return sorted(chain.from_iterable((ROOT / folder).rglob("*.py") for folder in folders))


def templates() -> list[Path]:
    return sorted(path for path in (ROOT / "templates").rglob("*") if path.is_file())


# --- relations -----------------------------------------------------------------------------------------------------


def own_models() -> list[type[Model]]:
    return [
        model
        for config in apps.get_app_configs()
        if config.name.startswith("reedcrew.")
        for model in config.get_models()
    ]


@pytest.mark.parametrize("model", own_models(), ids=lambda model: model._meta.label)
def test_relations_of_a_model_point_downwards(model: type[Model]) -> None:
    wrong = [
        f"{model._meta.label}.{relation.name} -> {relation.related_model._meta.label}"
        for relation in model._meta.get_fields(include_parents=False)
        if relation.is_relation and not relation.auto_created
        if isinstance(relation.related_model, type) and issubclass(relation.related_model, Model)
        if not may_know(model._meta.app_label, relation.related_model._meta.app_label)
    ]
    assert wrong == []


# --- templates -----------------------------------------------------------------------------------------------------

NAMED_TEMPLATE = re.compile(r"""{%-?\s*(?:extends|include)\s+["']([^"']+)["']""")
# Names of templates that allauth and Django decide; they are pages of accounts, which the people app owns.
FOLDERS_OF_PEOPLE = {"account", "allauth", "mfa", "usersessions"}


def owner(template: str) -> str:
    """The app that a template belongs to, by its first folder."""
    folder, slash, _rest = template.partition("/")
    if not slash:
        return "urls"  # error pages of the whole site
    return "people" if folder in FOLDERS_OF_PEOPLE else folder


@pytest.mark.parametrize("path", templates(), ids=lambda path: str(path.relative_to(ROOT / "templates")))
def test_templates_that_a_template_names_exist_and_stand_below(path: Path) -> None:
    name = path.relative_to(ROOT / "templates").as_posix()
    for named in NAMED_TEMPLATE.findall(path.read_text()):
        assert (ROOT / "templates" / named).is_file() or named.startswith(("django/", "admin/", *FOLDERS_OF_PEOPLE)), (
            f"{name} names {named}, which does not exist"
        )
        assert may_know(owner(name), owner(named)), f"{name} names {named} of an app above its own"


NAMED_IN_CODE = re.compile(r"""["']([a-z]+/[a-z_/]+\.(?:html|txt))["']""")


@pytest.mark.parametrize("path", sources("reedcrew"), ids=lambda path: str(path.relative_to(ROOT)))
def test_templates_that_code_names_exist_and_stand_below(path: Path) -> None:
    layer = path.relative_to(ROOT / "reedcrew").parts[0].removesuffix(".py")
    for named in NAMED_IN_CODE.findall(path.read_text()):
        assert (ROOT / "templates" / named).is_file() or named.startswith("django/"), f"{named} does not exist"
        assert may_know(layer, owner(named)), f"{layer} names {named} of an app above its own"


def test_folder_of_templates_is_named_like_an_app() -> None:
    known = {name for layer in layers() for name in layer} | FOLDERS_OF_PEOPLE | {"django"}
    assert {path.name for path in (ROOT / "templates").iterdir() if path.is_dir()} <= known


# --- tasks ---------------------------------------------------------------------------------------------------------


def woken_names() -> Iterator[tuple[str, str]]:
    for path in sources("reedcrew"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) == "wake":
                first: Any = node.args[0]
                place = f"{path.relative_to(ROOT)}:{node.lineno}"
                assert isinstance(first, ast.Constant), f"{place} wakes a name that cannot be read here"
                yield place, str(first.value)


def registered() -> set[str]:
    app.loader.import_default_modules()
    return set(app.tasks)


def test_every_task_that_is_woken_is_registered() -> None:
    known = registered()
    assert [(place, name) for place, name in woken_names() if name not in known] == []


def test_every_task_that_beat_sends_is_registered() -> None:
    known = registered()
    assert {name: entry["task"] for name, entry in app.conf.beat_schedule.items() if entry["task"] not in known} == {}


# --- locks ---------------------------------------------------------------------------------------------------------


def test_every_lock_of_a_row_lets_others_refer_to_it() -> None:
    """PostgreSQL holds a key lock on each row that a new row refers to, which FOR UPDATE waits for and so may deadlock.

    FOR NO KEY UPDATE does not: https://www.postgresql.org/docs/current/explicit-locking.html, "Row-Level Locks".
    """
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in sources("reedcrew")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call)
        and getattr(node.func, "attr", "") == "select_for_update"
        and "no_key" not in {keyword.arg for keyword in node.keywords}
    ]
    assert found == []


# --- files ---------------------------------------------------------------------------------------------------------


def test_top_level_is_as_designed() -> None:
    top = {place.name for place in ROOT.iterdir()} - ignored()
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


OWN_ADDRESS = re.compile(r"(?:[\w.-]+\.)?example(?:\.(?:org|com|net))?|127\.0\.0\.1|localhost")  # RFC 2606 and loopback


def texts() -> Iterator[tuple[str, str]]:
    """Every file of the project that is text, with its place in the project."""
    for path in files():
        with suppress(UnicodeDecodeError):
            yield path.relative_to(ROOT).as_posix(), path.read_text()


def test_no_file_names_a_place_on_somebodys_machine() -> None:
    place = re.compile(r"(?<![\w.}])/(?:root|work|home|Users)/\w[^\s\"']*")
    assert [(name, found) for name, text in texts() for found in place.findall(text)] == []


def test_nothing_that_installs_or_runs_the_service_names_a_host() -> None:
    """Where packages come from is the installer's own setting, and no address of a real site stands in an example."""
    address = re.compile(r"\b(?:https?|redis|postgres|smtp(?:\+\w+)?)://(?:[\w:.-]*@)?([\w-]+(?:\.[\w-]+)+)")
    found = [
        (name, host)
        for name, text in texts()
        if name.startswith(("deploy/", ".ci/", "pyproject.toml"))
        for host in address.findall(text)
        if not OWN_ADDRESS.fullmatch(host)
    ]
    assert found == []
    chosen_index = re.compile("--(extra-)?index.url")
    assert [name for name, text in texts() if name.startswith("deploy/") and chosen_index.search(text)] == []


def test_no_module_is_a_drawer_for_everything() -> None:
    assert [path for path in sources("reedcrew", "tests") if path.stem in {"utils", "helpers", "common", "misc"}] == []


def test_no_test_is_written_to_be_left_out() -> None:
    """Only the browser may be missing, and only outside CI: tests/browser/conftest.py says so loudly."""
    allowed = ROOT / "tests" / "browser" / "conftest.py"
    found = []
    for path in sources("tests"):
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.Attribute | ast.Name):
                continue
            name = node.attr if isinstance(node, ast.Attribute) else node.id
            if (
                name in {"skip", "skipif", "skipIf", "skipUnless", "importorskip", "xfail", "expectedFailure"}
                and path != allowed
            ):
                found.append(f"{path.relative_to(ROOT)}:{node.lineno} {name}")
    assert found == []


def test_lock_of_the_tests_holds_every_pin_of_the_service() -> None:
    """One .venv serves both, so the tests run on the very versions that the service does."""

    def pins(name: str) -> set[str]:
        lines = (ROOT / "deploy" / name).read_text().splitlines()
        return {line.removesuffix("\\").strip() for line in lines if re.match(r"[a-z0-9].*==", line)}

    assert pins("requirements.lock") <= pins("requirements-dev.lock")
