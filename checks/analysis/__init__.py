"""What follows from results: curves against beta, zones that defeat a function, opinions on exposure, JSON."""
