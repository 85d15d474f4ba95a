"""Many sites: planning, running, store."""
