"""Weather, water and daylight of one day: what the forecast that was entered means for the crew."""
