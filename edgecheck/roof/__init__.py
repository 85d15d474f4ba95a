"""Mass states, footing and roof loads."""
