"""Pages of the day itself. Every page works without a script and on a small phone."""
