"""What happens to stands, told inside the transaction that makes it happen."""

from django.dispatch import Signal

# Depth, current, size or existence of a stand's zones changed, or a gauge level that decides their depth was recorded:
# plans that rest on them are due. Sends: stand, now, and where the sender knows them before and after, what each zone
# was and is to a crew (trade.moves.ZoneState by the zone's key). Use services.zones_told.
zone_changed = Signal()

# A stand's identification changed, perhaps to one that protects it. Sends: stand, now.
identification_changed = Signal()

# A site's facts changed, such as its meeting place or time zone: what people were told of its days may no longer hold.
# Sends: site, actor, now.
site_changed = Signal()

# What closes or opens days of a site changed: its own window or its notices. Sends: site, actor, now, before, after
# (trade.season.SeasonRules). Use services.season_told.
season_changed = Signal()
