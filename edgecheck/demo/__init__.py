"""Package data of the demo: site list, units, criteria (all invented)."""
