"""Sun on the faces, envelope, inlet air, cooling section, liquid balance, outage."""
