"""What happens to stands, told inside the transaction that makes it happen."""

from django.dispatch import Signal

# Depth, current, size or existence of a stand's zones changed, or a gauge level that decides their depth was recorded:
# plans that rest on them are due. Sends: stand, now.
zone_changed = Signal()

# A stand's identification changed, perhaps to one that protects it. Sends: stand, now.
identification_changed = Signal()

# A site's facts changed, such as its meeting place or time zone: what people were told of its days may no longer hold.
# Sends: site, actor, now.
site_changed = Signal()
