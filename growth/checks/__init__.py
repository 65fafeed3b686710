"""The checks of a grown yard: coverage, canopy, screening, and how requirements stand."""
