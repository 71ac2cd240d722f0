"""The words of a report on paper that are the same in every report."""

from django.utils.translation import gettext


def report_words() -> dict[str, str]:
    """In the reader's language."""
    return {
        "sums": gettext("What was done"),
        "hours": gettext("Hours by kind and stand"),
        "value": gettext("Value by role and rate"),
        "stems": gettext("Stems removed and area worked"),
        "density": gettext("Change in density"),
        "loads": gettext("Where the cut material went"),
        "safety": gettext("Safety record"),
        "map": gettext("Map"),
        "map_how": gettext("Dots: dry ground. Lines: shallow water. A grid: deep water. Crosses: closed."),
        "photos": gettext("Photos"),
        "days": gettext("Work days with their evidence"),
        "corrections": gettext("Corrections"),
        "people": gettext("People"),
        "how": gettext("How the numbers are known"),
        "signature": gettext("For the group: name, date, signature"),
        "total": gettext("All"),
    }
