"""Power feed, sound at the neighbour, containment of the liquid, clearances, vibration."""
