"""Lists the benchmarks, or runs one and exits with 1 past its bound."""

import importlib
import os
import pkgutil
import sys
from collections.abc import Mapping, Sequence

import django

import tests.bench
from tests.bench.measure import Benchmark


def benchmarks() -> dict[str, Benchmark]:
    """Every benchmark of the package's modules, by name."""
    found_modules = (module.name for module in pkgutil.iter_modules(tests.bench.__path__))
    names = sorted(name for name in found_modules if name != "__main__" and not name.startswith("test_"))
    modules = [importlib.import_module(f"{tests.bench.__name__}.{name}") for name in names]
    found: list[Benchmark] = [one for module in modules for one in getattr(module, "BENCHMARKS", ())]
    return {one.name: one for one in found}


def printed(table: Sequence[Sequence[str]]) -> str:
    """The table as text in columns."""
    widths = [max(len(line[column]) for line in table) for column in range(len(table[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in table
    )


def main(arguments: Sequence[str], known: Mapping[str, Benchmark]) -> int:
    """Exit status: 0, or 1 for a ratio past its bound, or 2 for a name that is no benchmark."""
    if not arguments:
        print(
            printed(
                [("benchmark", "bound", "what"), *((one.name, f"{one.bound:g}", one.about) for one in known.values())]
            )
        )
        return 0
    if len(arguments) != 1 or arguments[0] not in known:
        print(f"No such benchmark. There are: {', '.join(known)}.", file=sys.stderr)
        return 2
    benchmark = known[arguments[0]]
    outcome = benchmark.run()
    print(printed(outcome.table))
    print(f"{benchmark.name}: ratio {outcome.ratio:.4g} (bound {benchmark.bound:g})")
    return 0 if outcome.ratio <= benchmark.bound else 1


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
    django.setup()
    sys.exit(main(sys.argv[1:], benchmarks()))
