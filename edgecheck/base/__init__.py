"""Constants, errors, notes, humid air and liquids: what every other room may use."""
