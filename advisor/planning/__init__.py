"""Plans: from a diagnosis, or from a weed and a place, to a dated sequence of applications."""
