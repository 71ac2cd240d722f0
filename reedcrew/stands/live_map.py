"""What the script of maps is told by the page: addresses, the base map, and its words in the reader's language."""

import json
from urllib.parse import urlencode

from django.conf import settings
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group

WORDS = {
    "zoomIn": _("Closer"),
    "zoomOut": _("Farther"),
    "map": _("Map. Everything on it is said in the text beside it."),
    "dry": _("dry"),
    "shallow": _("shallow"),
    "deep": _("deep"),
    "closed": _("closed"),
    "cm": _("{depth} cm"),
    "failed": _("The map could not be loaded. The text beside it says the same."),
    "first": _("Press where the first corner is."),
    "next": _("Press where the next corner is."),
    "last": _("Press the next corner, or the first one to close the outline."),
    "crossing": _("The outline would cross itself here."),
    "move": _("Drag corners. The small ones between them become new corners."),
    "corners": _("{count} corners, about {area} m². The area that counts is computed on saving."),
    "nothing": _("No outline is drawn."),
    "unread": _("The text is no outline that can be shown yet. Saving says what is wrong with it."),
    "where": _("Asking where you are …"),
    "added": _("A corner is added where you stand, exact to about {accuracy} m."),
    "nowhere": _("Your place could not be found. Allow it for this page, or write the corner by hand."),
}


def live_map(group: Group, *, site: int | None = None, stand: int | None = None) -> dict[str, str]:
    """Attributes of the element that the script turns into a map of the group, or of one of its sites or stands."""
    of_part = urlencode({name: key for name, key in (("site", site), ("stand", stand)) if key is not None})
    data = reverse("stands:map_data", args=[group.slug])
    return {
        "data": f"{data}?{of_part}" if of_part else data,
        "sites": reverse("stands:site", args=[group.slug, 0]),  # the script puts the key in place of the 0
        "stands": reverse("stands:stand", args=[group.slug, 0]),
        "tiles": settings.MAP_TILES_URL,
        "attribution": settings.MAP_ATTRIBUTION,
        "icon": static("leaflet/images/marker-icon.png"),
        "icon-large": static("leaflet/images/marker-icon-2x.png"),
        "shadow": static("leaflet/images/marker-shadow.png"),
        "words": json.dumps({name: str(word) for name, word in WORDS.items()}, ensure_ascii=False),
    }
