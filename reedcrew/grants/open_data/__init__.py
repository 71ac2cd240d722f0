"""What a group gives to everybody: a Darwin Core archive of its surveys and days, and GeoJSON of its stands."""
